"""The document that ``cure --json`` prints, as docs/json.md says. Seconds, kelvin, pascal."""

from __future__ import annotations

from typing import Any

from pitwright import __version__
from pitwright.findings import Finding, Refusal, Short
from pitwright.jointing.clock import JointClock
from pitwright.jointing.methods import Method
from pitwright.jointing.question import CementedJoint
from pitwright.jointing.times import JointTimes, Longest
from pitwright.jointing.working import Range
from pitwright.wording.cautions import cautions
from pitwright.wording.jointing import clock_text, duration_text, finding_text, short_text

__all__ = ["SCHEMA", "cure_document"]

SCHEMA = "pitwright-cure-1"
SHOWN = ("solvent", "air", "local")
"""The cautions that belong to a joint."""


def cure_document(
    joint: CementedJoint,
    got: JointTimes | Refusal,
    clock: JointClock | None,
    instead: tuple[Method, ...],
    push: tuple[float, float] | None,
) -> dict[str, Any]:
    """The answer for machines. ``push`` is a pressure [Pa] and its thrust on a closed end [N]."""
    times = got if isinstance(got, JointTimes) else None
    return {
        "schema": SCHEMA,
        "version": __version__,
        "size": joint.size,
        "pressure_Pa": joint.pressure,
        "humid": joint.humid,
        "wet": joint.wet,
        "wet_after_s": joint.wet_after,
        "loose": joint.loose,
        "cement": joint.cement or None,
        "coldest": times.coldest if times else joint.coldest()[0],
        "coldest_K": joint.coldest()[1],
        "hottest_K": joint.hottest()[1],
        "bottom_by_s": times.working.bottom_by if times else None,
        "open_time": _range(times.working.open_time) if times else None,
        "hotter": times.working.hotter if times else None,
        "hand_hold_s": times.working.hand_hold if times else None,
        "hold": _range(times.working.hold) if times else None,
        "set": _longest(times.set) if times else None,
        "cure": _longest(times.cure) if times else None,
        "clock": _clock(clock),
        "refused": _refusal(got) if isinstance(got, Refusal) else None,
        "instead": [_method(m) for m in instead],
        "thrust_N": push[1] if push else None,
        "findings": [_finding(f) for f in times.findings] if times else [],
        "cautions": [
            {"code": c.code, "text": c.words, "source": c.source}
            for c in cautions()
            if c.code in SHOWN
        ],
    }


def _range(span: Range | None) -> dict[str, Any] | None:
    if span is None:
        return None
    return {
        "low_s": span.low,
        "typical_s": span.typical,
        "high_s": span.high,
        "source": span.source,
        "status": span.status,
    }


def _longest(longest: Longest) -> dict[str, Any]:
    factor, told = longest.factor, longest.sources_differ
    return {
        "time_s": longest.seconds,
        "time_text": duration_text(longest.seconds),
        "table": longest.reading.table,
        "printed_s": longest.reading.seconds,
        "factor": factor.multiplier if factor else None,
        "factor_source": factor.source if factor else None,
        "ratio": told.ratio,
        "tables": [
            {
                "table": r.table,
                "printed_s": r.seconds,
                "source": r.row.source,
                "status": r.row.status,
                "at_edge": r.at_edge,
                "beyond": r.beyond,
            }
            for r in told.readings
        ],
        "silent": [_short(s) for s in told.silent],
    }


def _clock(clock: JointClock | None) -> dict[str, Any] | None:
    if clock is None:
        return None
    return {
        "made_at": clock_text(clock.made_at, clock.made_at),
        "hands_off": clock_text(clock.hands_off, clock.made_at),
        "braces_off": clock_text(clock.braces_off, clock.made_at),
        "water_on": clock_text(clock.water_on, clock.made_at),
        "water_on_s": (clock.water_on - clock.made_at).total_seconds(),
    }


def _short(short: Short) -> dict[str, Any]:
    return {
        "code": short.code,
        "where": short.where,
        "tried": short.tried,
        "have": short.have,
        "need": short.need,
        "missed": short.missed,
        "unit": short.unit,
        "lift": short.lift,
        "text": short_text(short),
        "source": short.source,
    }


def _refusal(refusal: Refusal) -> dict[str, Any]:
    return {
        "because": [_short(s) for s in refusal.because],
        "looked_at": refusal.looked_at,
        "cut_short": refusal.cut_short,
    }


def _method(method: Method) -> dict[str, Any]:
    return {
        "method": method.method,
        "text": method.words,
        "holds_thrust": method.holds_thrust,
        "note": method.note,
        "source": method.source,
        "status": method.status,
    }


def _finding(found: Finding) -> dict[str, Any]:
    return {
        "code": found.code,
        "weight": found.weight.value,
        "text": finding_text(found),
        "numbers": dict(found.numbers),
        "names": dict(found.names),
        "source": found.source,
    }
