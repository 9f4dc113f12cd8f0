"""Laws of putting in that hold whatever the pit."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.findings import Refusal
from pitwright.geometry.clearance import Capsule, HalfSpace
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Relief, Work
from pitwright.jointing.question import Warmth
from pitwright.units.kinds import INCH
from tests.joining.built import corner, elbow_box
from tests.joining.works import mirrored

inches = st.floats(-9.0, 9.0)


@st.composite
def works(draw: st.DrawFn) -> Work:
    """A box or a corner on a day like any other, with something lying in the pit."""
    if draw(st.booleans()):
        work = elbow_box(legs=draw(st.floats(2.0, 6.0)), gap=draw(st.floats(4.2, 9.0)))
    else:
        work = corner(draw(st.floats(8, 60)), draw(st.floats(4, 20)), draw(st.floats(5, 60)))
    warm = Warmth.of(draw(st.floats(278.0, 308.0)))
    cement = replace(work.cement, air=warm, humid=draw(st.booleans()), pressure=draw(PRESSURES))
    cement = replace(cement, cement=draw(st.sampled_from(("", "wet", "medium"))))
    start = (draw(inches) * INCH, draw(inches) * INCH, draw(inches) * INCH)
    thing = Capsule(start, (start[0], start[1] + 0.2, start[2]), 0.01, "root")
    floor = HalfSpace((0.0, 0.0, -1.0), draw(st.floats(1.5, 12.0)) * INCH, "floor")
    room = replace(work.room, obstacles=(thing,), walls=(floor,))
    side = replace(work.sides[1], seeps=draw(st.sampled_from((0.0, 0.0, 6e-6))))
    side = replace(side, wet_after=draw(st.sampled_from((None, 60.0, 1e5))))
    low = Relief(draw(st.floats(-20.0, 2.0)) * INCH, draw(st.sampled_from((0.002, 0.012))))
    first = replace(work.sides[0], relief=draw(st.sampled_from((None, low))))
    side = replace(side, relief=draw(st.sampled_from((None, low))))
    return replace(work, cement=cement, room=room, sides=(first, side))


PRESSURES = st.sampled_from((None, 0.0, 4e5))


@settings(max_examples=60)
@given(works())
def test_no_plan_has_a_step_that_its_own_checker_refuses(work: Work) -> None:
    got = put_in(work)
    if isinstance(got, Assembly):
        assert objections(work, got) == ()
    else:
        assert got.because and all(s.missed >= 0.0 for s in got.because)


@settings(max_examples=40)
@given(works(), st.booleans())
def test_a_wetter_pit_never_allows_more(work: Work, everywhere: bool) -> None:
    wet = (
        replace(work, cement=replace(work.cement, wet=True))
        if everywhere
        else replace(work, sides=(replace(work.sides[0], seeps=1e-6), work.sides[1]))
    )
    if isinstance(put_in(work), Refusal):
        assert isinstance(put_in(wet), Refusal)


@settings(max_examples=60)
@given(works(), st.floats(1.0, 1e5))
def test_more_seep_never_allows_what_less_forbids_relief_end_or_not(
    work: Work, more: float
) -> None:
    """Nor does the joint wait less: a stub that seeps is as damp as humid air."""
    some = tuple(replace(s, seeps=max(s.seeps, 1e-7)) for s in work.sides)
    much = tuple(replace(s, seeps=s.seeps * more) for s in some)
    less, rest = (put_in(replace(work, sides=(s[0], s[1]))) for s in (some, much))
    dry = put_in(replace(work, sides=(replace(some[0], seeps=0.0), replace(some[1], seeps=0.0))))
    if isinstance(rest, Assembly):
        assert isinstance(less, Assembly)
        assert less.water_on <= rest.water_on + 1e-6
    if isinstance(less, Assembly):
        assert isinstance(dry, Assembly)
        assert objections(replace(work, sides=(some[0], some[1])), less) == ()


@settings(max_examples=40)
@given(works())
def test_the_clock_never_runs_backwards(work: Work) -> None:
    got = put_in(work)
    if isinstance(got, Assembly):
        ends = [0.0, *(t for s in got.steps for t in (s.starts, s.free, s.ends))]
        assert ends == sorted(ends)
        assert got.water_on >= max(s.number("cured_at") for s in got.steps if s.code != "water_on"
                                   and "cured_at" in dict(s.numbers))  # fmt: skip


@settings(max_examples=40)
@given(works())
def test_other_names_change_nothing(work: Work) -> None:
    sides = (replace(work.sides[0], name="zig"), replace(work.sides[1], name="aaa"))
    one, other = put_in(work), put_in(replace(work, sides=sides))
    if isinstance(one, Assembly):
        assert isinstance(other, Assembly)
        assert (one.order, one.spread, one.water_on) == (other.order, other.spread, other.water_on)
    else:
        assert isinstance(other, Refusal)
        assert [s.code for s in one.because] == [s.code for s in other.because]


@settings(max_examples=40)
@given(works())
def test_a_pit_in_the_mirror_is_put_together_alike(work: Work) -> None:
    one, other = put_in(work), put_in(mirrored(work))
    assert isinstance(one, Assembly) == isinstance(other, Assembly)
    if isinstance(one, Assembly) and isinstance(other, Assembly):
        assert (one.order, one.giver, one.water_on) == (other.order, other.giver, other.water_on)
        assert [f.code for f in one.findings] == [f.code for f in other.findings]
