"""The wiring answer as plain data for JSON: numbers with their unit in the key, words beside."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from pitwright.findings import Finding
from pitwright.survey.harness import Harness
from pitwright.wiring.along import Along
from pitwright.wiring.answer import Answer
from pitwright.wiring.faults import Fault, Place
from pitwright.wiring.measuring import MeterTest, Reading
from pitwright.wiring.rewiring import Rewiring
from pitwright.wording.along import along_data, battery_used
from pitwright.wording.wiring import (
    CAUTIONS,
    cautions_of,
    fault_words,
    finding_words,
    place_words,
    reading_words,
    refusal_words,
    test_words,
)

__all__ = ["SCHEMA", "answer_data", "rewiring_data"]

SCHEMA = "pitwright-wire-1"


def _place(harness: Harness, place: Place) -> dict[str, Any]:
    return {
        "kind": place.kind,
        "on": place.on or None,
        "segment": place.segment or None,
        "other": place.other or None,
        "text": place_words(harness, place),
    }


def _fault(harness: Harness, fault: Fault) -> dict[str, Any]:
    return {
        "kind": fault.kind,
        "on": fault.on or None,
        "part": fault.part or None,
        "segment": fault.segment or None,
        "other": fault.other or None,
        "text": fault_words(harness, fault),
    }


def _test(harness: Harness, test: MeterTest) -> dict[str, Any]:
    return {
        "kind": test.kind,
        "a": test.a,
        "b": test.b or None,
        "box": test.box or None,
        "sense": list(test.sense) if test.sense[0] else None,
        "text": test_words(harness, test),
    }


def _reading(harness: Harness, reading: Reading) -> dict[str, Any]:
    value: Any = reading.value
    if isinstance(value, frozenset):
        value = sorted(value)
    return {
        "typed": reading.text,
        "test": _test(harness, reading.test),
        "value_si": value,
        "limit_ohm": reading.limit or None,
        "digit_ohm": reading.fixed or None,
        "text": reading_words(harness, reading)[1],
    }


def _finding(found: Finding) -> dict[str, Any]:
    return {
        "code": found.code,
        "weight": found.weight.value,
        "text": finding_words(found),
        "numbers": dict(found.numbers),
        "names": dict(found.names),
        "source": found.source,
    }


def answer_data(harness: Harness, got: Answer, far: Sequence[Along] = ()) -> dict[str, Any]:
    """The whole answer. Chances sum to one over all places; lengths in metres."""
    tests = [t.test for t in got.tests]
    return {
        "schema": SCHEMA,
        "harness": harness.name,
        "complaint": harness.complaint or None,
        "readings": [_reading(harness, r) for r in got.readings],
        "refused": None if got.refusal is None else refusal_words(got.refusal),
        "step": got.step,
        "places": [
            {
                "place": _place(harness, p.place),
                "chance": p.chance,
                "chance_without_clues": p.without_clues,
                "likeliest_fault": _fault(harness, p.fault),
                "along_m": p.metres,
                "along_sd_m": p.metres_sd,
            }
            for p in got.places
        ],
        "distances": [along_data(harness, one) for one in far],
        "not_told_apart": [_fault(harness, f) for f in got.alike],
        "by_experience": got.by_experience,
        "next_tests": [
            {"test": _test(harness, t.test), "bits": t.bits, "minutes": t.minutes}
            for t in got.tests
        ],
        "look_first": None if got.look is None else _test(harness, got.look),
        "mend_first": None if got.pair is None else _fault(harness, got.pair[0]),
        "then": None if got.pair is None else _fault(harness, got.pair[1]),
        "doubtful_reading": None if got.doubt is None else got.doubt.number,
        "findings": [_finding(f) for f in got.findings],
        "cautions": [CAUTIONS[c] for c in cautions_of(tests, battery_used(far))],
    }


def rewiring_data(harness: Harness, plan: Rewiring) -> dict[str, Any]:
    """The rewiring plan of one box; lengths in metres, ohms in ohms."""
    return {
        "schema": "pitwright-rewire-1",
        "harness": harness.name,
        "box": plan.box,
        "pairs": [
            {"station": s, "colour": c or None, "common": k, "common_colour": d or None}
            for s, c, k, d in plan.pairs
        ],
        "splices": [
            {
                "kind": j.kind,
                "wires": list(j.wires),
                "gauges": list(j.gauges),
                "connectors": list(j.fits),
                "steps": j.split,
            }
            for j in plan.splices
        ],
        "connectors": plan.connectors,
        "slack_m": plan.slack,
        "labels": list(plan.labels),
        "tests_before_cover": [
            {"station": s, "common": c, "low_ohm": low, "high_ohm": high}
            for s, c, low, high in plan.tests
        ],
        "findings": [_finding(f) for f in plan.findings],
    }
