from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from pitwright.joining.assembly import Assembly, Step
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Work
from pitwright.trains.cut_list import Where
from tests.joining.built import corner, elbow_box


def made(work: Work) -> Assembly:
    got = put_in(work)
    assert isinstance(got, Assembly)
    assert objections(work, got) == ()
    return got


def at(assembly: Assembly, code: str) -> int:
    return next(n for n, s in enumerate(assembly.steps) if s.code == code)


def with_step(assembly: Assembly, code: str, change: Callable[[Step], Step]) -> Assembly:
    n = at(assembly, code)
    steps = (*assembly.steps[:n], change(assembly.steps[n]), *assembly.steps[n + 1 :])
    return replace(assembly, steps=steps)


def numbered(step: Step, **numbers: float) -> Step:
    return replace(step, numbers=tuple({**dict(step.numbers), **numbers}.items()))


def swapped(assembly: Assembly, one: int, other: int) -> Assembly:
    """Two steps change places, each in the other's time."""
    steps = list(assembly.steps)
    a, b = steps[one], steps[other]
    steps[one] = replace(b, starts=a.starts, free=a.free, ends=a.ends)
    steps[other] = replace(a, starts=b.starts, free=b.free, ends=b.ends)
    return replace(assembly, steps=tuple(steps))


TAMPERED: tuple[tuple[str, Callable[[Assembly], Assembly]], ...] = (
    ("CLOCK_BACK", lambda a: with_step(a, "dry_fit", lambda s: replace(s, starts=s.starts - 1))),
    ("CLOCK_BACK", lambda a: with_step(a, "dry_fit", lambda s: replace(s, free=s.ends + 1))),
    ("WATER_TOO_SOON", lambda a: replace(a, water_on=a.water_on - 1)),
    (
        "JOINTS_MISSING_OR_TWICE",
        lambda a: with_step(a, "bench_joint", lambda s: replace(s, joints=())),
    ),
    ("ORDER_NOT_TOLD", lambda a: replace(a, order=a.order[::-1])),
    (
        "STUB_ON_BENCH",
        lambda a: with_step(a, "push_joint", lambda s: replace(s, where=Where.BENCH)),
    ),
    ("NOT_PROVED_FIRST", lambda a: swapped(a, at(a, "dry_fit"), at(a, "bench_joint"))),
    ("AFTER_CEMENT", lambda a: swapped(a, at(a, "cut_piece"), at(a, "push_joint"))),
    ("CUT_UNCHECKED", lambda a: with_step(a, "cut_stub", lambda s: replace(s, stop=False))),
    ("CUT_UNCHECKED", lambda a: swapped(a, at(a, "check_before_cut"), at(a, "cut_piece"))),
    ("CUT_TOO_LATE", lambda a: swapped(a, at(a, "cut_stub"), at(a, "push_joint"))),
    (
        "BOTTOMED_TOO_LATE",
        lambda a: with_step(a, "push_joint", lambda s: numbered(s, bottom_by=21.0)),
    ),
    ("SET_TOO_SHORT", lambda a: with_step(a, "push_joint", lambda s: numbered(s, set_at=s.free))),
    (
        "CURE_TOO_SHORT",
        lambda a: with_step(a, "push_joint", lambda s: numbered(s, cured_at=s.free)),
    ),
    (
        "BENCH_NOT_SET",
        lambda a: with_step(a, "bench_joint", lambda s: numbered(s, set_at=a.water_on)),
    ),
    (
        "GRIPS_NOTHING",
        lambda a: with_step(a, "push_joint", lambda s: replace(s, code="grip_joint")),
    ),
)


@pytest.mark.parametrize(("code", "tamper"), TAMPERED)
@pytest.mark.parametrize("work", [elbow_box(), corner()], ids=["box", "corner"])
def test_a_plan_that_was_tampered_with_is_objected_to(
    work: Work, code: str, tamper: Callable[[Assembly], Assembly]
) -> None:
    assert code in {o.code for o in objections(work, tamper(made(work)))}


def test_the_last_push_before_the_joints_it_loads_are_set_is_objected_to() -> None:
    work = elbow_box()
    good = made(work)
    n = at(good, "drop_on_two")
    steps = list(good.steps)
    steps[n - 1] = replace(steps[n - 1], ends=steps[n - 1].free)
    steps[n] = replace(steps[n], starts=steps[n - 1].free)
    hasty = replace(good, steps=tuple(steps))
    assert "LOADED_BEFORE_SET" in {o.code for o in objections(work, hasty)}


def test_sockets_that_are_not_parallel_are_no_parallel_sockets() -> None:
    work = corner()
    lying = replace(made(work), giver="parallel sockets")
    assert "NOT_PARALLEL" in {o.code for o in objections(work, lying)}


def test_a_spread_that_does_not_open_the_joint_or_breaks_the_pipe_is_objected_to() -> None:
    work = corner()
    good = made(work)
    assert good.spread is not None
    for times, code in ((0.5, "NOT_OPENED"), (40.0, "SPREAD_TOO_HARD")):
        a, b, c, d, e, f = (w * times for w in good.spread.inlet)
        bad = replace(good, spread=replace(good.spread, inlet=(a, b, c, d, e, f)))
        assert code in {o.code for o in objections(work, bad)}
    assert "OPENING_UNPROVED" in {o.code for o in objections(work, replace(good, spread=None))}


def test_cement_on_a_stub_that_runs_is_objected_to_whatever_the_plan_said() -> None:
    work = elbow_box()
    good = made(work)
    wet = replace(work, sides=(replace(work.sides[0], seeps=6e-6), work.sides[1]))
    codes = {o.code for o in objections(wet, good)}
    assert {"CEMENT_FORBIDDEN", "CEMENT_LAST_ON_SEEP"} <= codes
    slow = replace(work, sides=(replace(wet.sides[0], wet_after=1e6), work.sides[1]))
    assert "CEMENT_LAST_ON_SEEP" in {o.code for o in objections(slow, good)}
