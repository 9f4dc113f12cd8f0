"""A part that broke takes with it what is glued to it, as far as sound pipe, and no more."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from pitwright.planning import plan
from pitwright.renewal.cut_out import CutOut, cut_out
from pitwright.renewal.standing import standing
from pitwright.survey.pit import read_survey
from pitwright.trains.cut_list import CutList, Piece
from tests.pages.standings import example, shelf


@cache
def cuts() -> CutList:
    answer = plan(read_survey(example("chapel-lawn"), "lawn", shelf())).zones[0].answer
    assert isinstance(answer, tuple)
    return next(o.cuts for o in answer if len(o.cuts.pieces) >= 3)


def between_pieces() -> int:
    items = cuts().items
    return next(
        n
        for n in range(1, len(items) - 1)
        if not isinstance(items[n], Piece) and isinstance(items[n - 1], Piece)
        and isinstance(items[n + 1], Piece)
    )  # fmt: skip


def every() -> set[int]:
    return set(range(1, len(cuts().joints) + 1))


def test_what_no_joint_holds_is_made_again_and_nothing_else() -> None:
    n = between_pieces()
    assert cut_out(cuts(), (), item=n) == CutOut((n,))


def test_a_fitting_between_two_pieces_that_stand_is_cut_out_through_both() -> None:
    n, items = between_pieces(), cuts().items
    before, after = items[n - 1], items[n + 1]
    assert isinstance(before, Piece) and isinstance(after, Piece)
    got = cut_out(cuts(), every(), item=n)
    back = ((before.letter, before.depth_before), (after.letter, after.depth_after))
    assert got == CutOut((n,), back, (n + 1, n + 2))


def test_a_piece_that_hangs_on_nothing_else_goes_with_the_fitting() -> None:
    n = between_pieces()
    got = cut_out(cuts(), {n + 1}, item=n)
    assert got == CutOut((n - 1, n), (), (n + 1,))


def test_of_a_joint_the_fitting_is_lost_and_its_piece_is_cut() -> None:
    n = between_pieces()
    assert cut_out(cuts(), every(), joint=n + 1) == cut_out(cuts(), every(), item=n)


def test_what_is_glued_on_the_stub_without_a_piece_between_leads_to_the_stub() -> None:
    assert cut_out(cuts(), {1}, item=0).stubs == (0,)
    last = len(cuts().items)
    assert cut_out(cuts(), {last + 1}, item=last - 1).stubs == (1,)


@given(st.data())
def test_nothing_lost_is_held_and_what_is_cut_through_still_is(
    data: st.DataObject,
) -> None:
    made = data.draw(st.sets(st.sampled_from(sorted(every()))))
    item = data.draw(st.integers(0, len(cuts().items) - 1))
    got = cut_out(cuts(), made, item=item)
    left = made - set(got.joints)
    assert not left & {n for at in got.again for n in (at + 1, at + 2)}
    for letter, _ in got.back:
        at = next(n for n, i in enumerate(cuts().items) if getattr(i, "letter", "") == letter)
        assert len(left & {at + 1, at + 2}) == 1
    was, now = standing(cuts(), sorted(made)), standing(cuts(), sorted(left))
    assert now.inlet <= was.inlet and now.outlet <= was.outlet
