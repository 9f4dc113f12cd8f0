"""Readings that do not fit together: which one, if wrong, would make the others agree.

Contradictions are named, never absorbed. Repeats of one test are merged first: a meter's own error
is the same each time, so a repeat that agrees teaches almost nothing, and one that does not is a
finding.

Source: judgement.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import log

from pitwright.findings import Finding, Weight, finding
from pitwright.survey.harness import Harness
from pitwright.wiring.belief import Model, start
from pitwright.wiring.evidence import shortfall
from pitwright.wiring.measuring import MeterTest, Reading
from pitwright.wiring.pairs import best_state

__all__ = ["Doubt", "doubtful", "impossible", "merged"]

VARIES = 0.2
"""Share by which two readings of one test may differ before they count as varying. Judgement."""
SUSPECT = 6.0
"""Nats the rest must gain before one reading is named as the odd one out. Judgement."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """The reading (its number, from 0) that would make the others agree, and by how much. [nat]"""

    number: int
    gain: float


def merged(readings: Sequence[Reading]) -> tuple[tuple[Reading, ...], tuple[Finding, ...]]:
    """One reading a test: agreeing repeats averaged, else the latest, with a finding. [SI]

    The average keeps one reading's error, for the meter errs the same way each time. Judgement.
    """
    order: dict[MeterTest, list[Reading]] = {}
    for reading in readings:
        order.setdefault(reading.test, []).append(reading)
    found: list[Reading] = []
    said: list[Finding] = []
    for test, group in order.items():
        numbers = [float(r.value) for r in group if isinstance(r.value, float | int)]
        alike = len({r.value for r in group}) == 1
        if len(numbers) == len(group) and len(group) > 1:
            low, high = min(numbers), max(numbers)
            alike = high - low <= VARIES * max(abs(high), abs(low))
            if alike:
                found.append(replace(group[-1], value=sum(numbers) / len(numbers)))
                continue
        if not alike:
            said.append(finding("wiring.varies", Weight.CHECK, names={"test": _named(test)}))
        found.append(group[-1])
    return tuple(found), tuple(said)


def _named(test: MeterTest) -> str:
    parts = (test.kind, test.a, test.b, test.box, *test.sense)
    return " ".join(p for p in parts if p)


def impossible(harness: Harness, readings: Sequence[Reading]) -> tuple[Finding, ...]:
    """Readings no 24 V harness gives, most often a range or a wire left on its terminal. Judgement.

    Near-zero ohms at two stations or more: the range (0.03 may be kilo-ohms) or the wrong wire.
    Ohms far below the wire's own. More volts than the source has.
    """
    said: list[Finding] = []
    zero = [
        r
        for r in readings
        if r.test.kind == "ohms"
        and not r.test.b
        and isinstance(r.value, float | int)
        and r.value < 1.0
        and not r.limit
    ]
    if len(zero) >= 2:
        said.append(
            finding(
                "wiring.zero-ohms",
                Weight.STOP,
                numbers={"count": float(len(zero))},
                names={"stations": ", ".join(r.test.a for r in zero)},
            )
        )
    for reading in readings:
        if not isinstance(reading.value, float | int):
            continue
        most = 1.2 * harness.source.volts_open
        if reading.test.kind.startswith("volts") and reading.value > most:
            said.append(
                finding(
                    "wiring.too-many-volts",
                    Weight.STOP,
                    numbers={"volts": float(reading.value), "most": most},
                    names={"test": _named(reading.test)},
                )
            )
    return tuple(said)


def doubtful(made: Model, readings: Sequence[Reading], missed: float) -> Doubt | None:
    """The one reading without which the rest would agree far better, or None. [nat]

    ``missed`` is how far the best hypothesis (pairs included) lies below a perfect fit; below
    :data:`SUSPECT` nothing is doubted. Each reading is left out in turn;
    the rest must then agree on a single fault or none.
    """
    if missed < SUSPECT or len(readings) < 3:
        return None
    best: Doubt | None = None
    for number in range(len(readings)):
        rest = [r for i, r in enumerate(readings) if i != number]
        left = shortfall(best_state(start(made, rest, pruned=False))[1])
        gain = missed - left - log(len(readings))
        if gain > SUSPECT and (best is None or gain > best.gain):
            best = Doubt(number, gain)
    return best
