"""No code reaches a reader without its words."""

from __future__ import annotations

import math
import string

import pytest

from pitwright.findings import Refusal, Short, Weight, finding
from pitwright.units.kinds import INCH
from pitwright.wording.findings import (
    _FINDINGS,
    _LIFTS,
    _SHORTS,
    finding_words,
    refusal_lines,
    short_words,
    within_words,
)
from pitwright.wording.identify import HAZARDS
from pitwright.wording.survey import FINDINGS
from tests.wording.codes import LIFT, codes, reached


def test_what_makes_a_plan_is_found_by_its_imports() -> None:
    rooms = {p.parent.name for p in reached("planning.py")}
    assert rooms >= {"trains", "renewal", "closing", "survey", "catalogue", "geometry"}


def test_every_finding_has_its_words() -> None:
    raised = codes("finding", 0, "code")
    assert len(raised) >= 12
    assert raised - set(_FINDINGS) - set(FINDINGS) - set(HAZARDS) == set()


def test_every_limit_has_its_words() -> None:
    raised = codes("Short", 0, "code")
    assert len(raised) >= 12
    assert raised - set(_SHORTS) == set()


def test_every_lift_has_its_words() -> None:
    raised = codes("Short", LIFT, "lift")
    assert len(raised) >= 10
    assert raised - set(_LIFTS) == set()


def test_every_sentence_asks_only_for_what_a_limit_has() -> None:
    for line in _SHORTS.values():
        assert {f for _, f, _, _ in string.Formatter().parse(line) if f} <= {
            "where",
            "tried",
            "missed",
            "ratio",
            "force",
        }


def test_a_code_nobody_knows_is_shown_and_never_hidden() -> None:
    odd = finding("odd", numbers={"size": 1.0}, names={"stub": "a"})
    assert finding_words(odd) == "odd: stub a, size 1.0"
    assert finding_words(finding("odd")) == "odd"
    assert short_words(Short("ODD", "leg 1", 0, 0, 0, "1", "?")) == "ODD at leg 1"


def test_lengths_are_told_on_the_safe_side() -> None:
    """What there is rounded down, what is needed rounded up."""
    short = Short("LEG", "leg 2", 1.03 * INCH, 1.04 * INCH, 0.01 * INCH, "m", "bare_more", "45")
    assert "(have 1 in (25 mm), need 1 1/16 in (27 mm))" in short_words(short)
    assert within_words(0.4e-3) == "±1/32 in (0.4 mm)"


def test_angles_are_told_in_degrees() -> None:
    short = Short("TILT", "valve", 0.3, 0.2, 0.1, "rad", "valve_on_level_leg", "45-45")
    had, most = f"{math.degrees(0.3):.1f}°", f"{math.degrees(0.2):.1f}°"
    assert f"{had}, at most {most} will do" in short_words(short)


def test_what_is_too_long_is_not_called_too_short() -> None:
    """More than would do is rounded up, the most that would do down."""
    short = Short("LEG", "leg 2", 1.04 * INCH, 1.03 * INCH, 0.01 * INCH, "m", "more", "45")
    said = short_words(short)
    assert "leg 2 is longer than its parts can be drawn out" in said
    assert "(1 1/16 in (27 mm), at most 1 in (25 mm) will do)" in said


@pytest.mark.parametrize("code", ["WALL", "OBSTACLE"])
def test_what_is_in_the_way_is_told_by_how_much(code: str) -> None:
    short = Short(code, "left", -0.01, 0.0, 0.01, "m", "dig_wall", "90-90: bend 1")
    assert "7/16 in (11 mm)" in short_words(short)


def test_a_refusal_tells_each_kind_of_limit_once_and_counts_the_rest() -> None:
    shorts = [Short("LEG", f"leg {n}", 0.0, n * 0.01, n * 0.01, "m", "bare_more") for n in range(7)]
    again = [Short("LEG", "leg 1", 0.0, 0.5, 0.5, "m", "bare_more")]
    lines = refusal_lines(Refusal((*shorts, *again), 8))
    assert len(lines) == 6
    assert lines[-1] == "and 2 more kinds of limit, see --json"
    assert "cut short" in refusal_lines(Refusal((), 8, cut_short=True))[-1]


def test_a_seep_is_told_in_millilitres_a_minute() -> None:
    seeps = finding("stub_seeps", Weight.STOP, numbers={"flow": 40e-6 / 60}, names={"stub": "x"})
    assert "still runs 40 mL/min" in finding_words(seeps)
