from __future__ import annotations

from dataclasses import replace

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.joining.digging import bared, to_bare
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Work
from pitwright.units.kinds import INCH
from tests.joining.built import corner


def stiff() -> Work:
    """A corner whose straight far stub is short, and whose riser hardly stands free."""
    work = corner(riser=4.0, level=3.0, far=6.0)
    return replace(work, sides=(work.sides[0], replace(work.sides[1], runs_on=True)))


def test_the_digging_that_is_named_helps_and_a_step_less_does_not() -> None:
    work = stiff()
    assert isinstance(put_in(work), Refusal)
    (short,) = to_bare(work)
    assert (short.code, short.where, short.lift) == ("BARE_TO_PUT_IN", "right", "bare_and_ask")
    assert short.need - short.have == short.missed > 0.0
    assert isinstance(put_in(bared(work, 1, short.missed)), Assembly)
    assert isinstance(put_in(bared(work, 1, short.missed - 2 * INCH)), Refusal)


def test_nothing_is_said_of_a_stub_that_does_not_run_on() -> None:
    work = stiff()
    held = replace(work, sides=(work.sides[0], replace(work.sides[1], runs_on=False)))
    assert to_bare(held) == ()
    rigid = replace(work, sides=(work.sides[0], replace(work.sides[1], path=None)))
    assert to_bare(rigid) == () and bared(rigid, 1, 1.0) is rigid


def test_digging_does_not_help_where_cement_is_forbidden() -> None:
    work = stiff()
    assert to_bare(replace(work, cement=replace(work.cement, wet=True))) == ()
