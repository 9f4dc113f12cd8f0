"""A stub that seeps, let out at a relief end: what may be glued then, and by which steps."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pitwright.findings import Refusal, Short
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.relief import relief_short
from pitwright.joining.work import Relief, Work
from pitwright.trains.cut_list import Where
from pitwright.units.kinds import INCH
from pitwright.wording.findings import short_words
from pitwright.wording.steps import step_check, step_words
from tests.joining.built import elbow_box

CUP = 380e-6 / 60
LOW = Relief(-6 * INCH, INCH / 2)


def seeping(relief: Relief | None, flow: float = CUP) -> Work:
    work = elbow_box(legs=3.0, gap=6.0)
    return replace(work, sides=(replace(work.sides[0], seeps=flow, relief=relief), work.sides[1]))


def assembled(work: Work) -> Assembly:
    got = put_in(work)
    assert isinstance(got, Assembly), got
    return got


def codes(got: Assembly | Refusal) -> set[str]:
    assert isinstance(got, Refusal)
    assert all(short_words(s) for s in got.because)
    return {s.code for s in got.because}


def test_without_a_relief_end_nothing_is_glued_on_a_stub_that_seeps() -> None:
    assert isinstance(put_in(seeping(None)), Refusal)


def test_with_one_below_the_box_goes_in_by_steps_that_let_the_water_out_first() -> None:
    got = assembled(seeping(LOW))
    told = [s.code for s in got.steps]
    name = seeping(LOW).sides[0].name
    assert told.index("check_relief") + 1 == told.index("open_relief") < told.index("cut_stub")
    wet = [s for s in got.steps if s.where is Where.PIT and 0 in s.joints]
    before = got.steps[got.steps.index(wet[0]) - 1]
    assert (before.code, before.stop, before.name("stub")) == ("still_dry", True, name)
    assert told[-2:] == ["close_relief", "water_on"]
    closes = got.steps[-2]
    assert closes.starts >= max(s.number("cured_at") for s in got.steps if s.joints)
    for step in got.steps:
        assert step_words(step) != step.code
    assert all(step_check(s) for s in got.steps if s.code in ("open_relief", "still_dry"))
    assert "low" not in step_check(got.steps[0])


def test_the_joint_sets_as_slowly_as_in_humid_air() -> None:
    dry, damp = assembled(elbow_box(legs=3.0, gap=6.0)), assembled(seeping(LOW))

    def wait(got: Assembly) -> float:
        step = next(s for s in got.steps if s.where is Where.PIT and 0 in s.joints)
        return step.number("set_at") - step.number("last_coat")

    assert wait(damp) == pytest.approx(1.5 * wait(dry))


def test_the_last_joint_is_not_glued_on_the_side_that_is_let_out() -> None:
    got = assembled(seeping(LOW))
    assert not {0, len(seeping(LOW).cuts.items)} & set(got.closing)


def test_a_relief_end_that_is_no_lower_or_passes_too_little_is_refused_by_name() -> None:
    assert "RELIEF_HIGH" in codes(put_in(seeping(Relief(-0.5 * INCH, INCH / 2))))
    assert "RELIEF_SMALL" in codes(put_in(seeping(LOW, flow=1e-3)))


def test_what_is_missed_is_what_would_do() -> None:
    high = relief_short("a", CUP, Relief(0.0, INCH), 0.01, "t")
    assert isinstance(high, Short)
    lower = Relief(-high.missed - 1e-9, INCH)
    assert relief_short("a", CUP, lower, 0.01, "t") is None


def test_half_an_inch_of_bore_a_foot_below_passes_what_the_orifice_table_says() -> None:
    """0.6 of the free jet: 0.6 · 1.267 cm² · 2.44 m/s = 11.1 L/min, twice what may seep."""
    low = Relief(0.0, INCH / 2)
    head = 12 * INCH
    most = 0.6 * 1.2668e-4 * (2 * 9.81 * head) ** 0.5 / 2
    assert relief_short("a", 0.99 * most, low, head, "t") is None
    assert relief_short("a", 1.01 * most, low, head, "t") is not None


def test_the_checker_wants_the_relief_opened_watched_and_closed() -> None:
    work = seeping(LOW)
    got = assembled(work)
    assert objections(work, got) == ()
    for gone, code in (
        ("open_relief", "RELIEF_NOT_OPENED"),
        ("still_dry", "NOT_SEEN_DRY"),
        ("close_relief", "RELIEF_NOT_CLOSED"),
    ):
        steps = tuple(s for s in got.steps if s.code != gone)
        assert code in {o.code for o in objections(work, replace(got, steps=steps))}
    plugged = replace(work, sides=(replace(work.sides[0], relief=None), work.sides[1]))
    assert "CEMENT_FORBIDDEN" in {o.code for o in objections(plugged, got)}
