"""The state is a function of the set of entries."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from pitwright.records.entry import Entry
from pitwright.records.fold import State, folded
from pitwright.records.kinds import KINDS, Body
from tests.records.support import entry_of, later
from tests.records.worlds import SITES, SUBJECTS, deliveries, worlds


def states(entries: list[Entry]) -> list[State]:
    return [folded(site, subject, entries) for site in SITES for subject in SUBJECTS]


@given(st.data())
def test_any_order_and_repetition_folds_alike(data: st.DataObject) -> None:
    world = data.draw(worlds())
    batches = data.draw(deliveries(world))

    assert states([e for batch in batches for e in batch]) == states(list(world))


@given(worlds(jumps=False))
def test_a_head_is_what_nothing_supersedes_and_everything_else_is_not(
    world: tuple[Entry, ...],
) -> None:
    """Worked out the slow way, pair by pair."""
    for site in SITES:
        for subject in SUBJECTS:
            mine = [e for e in world if (e.header.site, e.header.subject) == (site, subject)]
            slow = {e.id for e in mine if not any(e.id in o.header.supersedes for o in mine)}
            state = folded(site, subject, world)
            assert {h.id for f in state.fields for h in f.latest} == slow


def test_two_who_changed_the_same_thing_are_both_shown_until_one_settles_it() -> None:
    first = entry_of(1, field="pit", kind="pit", body={"label": "first"})
    left = entry_of(2, field="pit", kind="pit", body={"label": "left"}, lamport=2,
                    supersedes=(first.id,))  # fmt: skip
    right = entry_of(1, field="pit", kind="pit", body={"label": "right"}, lamport=3, device="dy",
                     supersedes=(first.id,))  # fmt: skip
    field = folded("s-1", "b-1", [first, left, right]).field("pit")
    assert field is not None and field.contested
    assert [f.value("label") for f in field.facts] == ["left", "right"]
    assert field.fact is not None and field.fact.id == right.id

    settled = entry_of(2, field="pit", kind="pit", body={"label": "both"}, lamport=4, device="dy",
                       supersedes=(left.id, right.id))  # fmt: skip
    field = folded("s-1", "b-1", [first, left, right, settled]).field("pit")
    assert field is not None and not field.contested
    assert [f.value("label") for f in field.facts] == ["both"]


def test_equal_counts_are_ordered_by_id_alike_everywhere() -> None:
    a = entry_of(1, field="pit", kind="pit", body={"label": "a"})
    b = entry_of(1, field="pit", kind="pit", body={"label": "b"}, device="dy")
    field = folded("s-1", "b-1", [a, b]).field("pit")

    assert field is not None and field.fact is not None
    assert field.fact.id == max(a.id, b.id)


def test_what_is_superseded_and_not_here_is_named() -> None:
    absent = "e1_" + "b" * 52
    state = folded("s-1", "b-1", [entry_of(supersedes=(absent,))])

    assert state.missing == (absent,)


def test_an_entry_of_another_subject_or_site_supersedes_nothing_here() -> None:
    mine = entry_of(field="pit", kind="pit")
    for other in (
        entry_of(subject="b-2", device="dy", supersedes=(mine.id,)),
        entry_of(site="s-2", device="dz", supersedes=(mine.id,)),
    ):
        field = folded("s-1", "b-1", [mine, other]).field("pit")
        assert field is not None and [h.id for h in field.latest] == [mine.id]


def test_dating_again_changes_when_it_happened_and_its_place_in_the_order() -> None:
    wild = entry_of(1, field="pit", kind="pit", lamport=2**30)
    calm = entry_of(1, field="pit", kind="pit", lamport=5, device="dy")
    redate = entry_of(2, field="redate/1", kind="redate", lamport=4, about=(wild.id,), body={})
    field = folded("s-1", "b-1", [wild, calm, redate]).field("pit")

    assert field is not None and [h.id for h in field.latest] == [wild.id, calm.id]
    assert field.latest[0].lamport == 4


def test_of_two_new_dates_the_later_entry_gives_it_whatever_comes_first() -> None:
    wild = entry_of(1, field="pit", kind="pit", lamport=2**30)
    first = entry_of(2, field="redate/1", kind="redate", lamport=4, about=(wild.id,), body={})
    second = entry_of(3, field="redate/2", kind="redate", lamport=9, about=(wild.id,), body={})
    for order in ([wild, first, second], [second, first, wild]):
        field = folded("s-1", "b-1", order).field("pit")
        assert field is not None and field.fact is not None and field.fact.lamport == 9


def test_one_place_claimed_twice_is_a_fork() -> None:
    state = folded("s-1", "b-1", [entry_of(3, body={"text": "x"}), entry_of(3, body={"text": "y"})])

    assert state.forks == (("dx", 3),)


def test_older_bodies_are_read_as_todays_and_never_rewritten() -> None:
    def split(body: Body) -> Body:
        what, _, place = str(body["text"]).partition(" at ")
        return {"text": what, "place": place}

    table = {**KINDS, "note": replace(KINDS["note"], version=2, steps={1: split})}
    old = entry_of(1, body={"text": "splice at the oak"})
    new = entry_of(2, body={"text": "splice", "place": "gate"}, version=2, field="note/y")
    state = folded("s-1", "b-1", [old, new], table)

    bodies = [f.fact.body for f in state.fields if f.fact]
    assert bodies == [{"text": "splice", "place": "the oak"}, {"text": "splice", "place": "gate"}]
    assert old.body == {"text": "splice at the oak"}
    assert folded("s-1", "b-1", [old, new]).withheld == (new.id,)


def test_a_step_that_cannot_read_a_body_withholds_instead_of_failing() -> None:
    table = {**KINDS, "note": replace(KINDS["note"], version=2, steps={1: lambda b: b["no"]})}

    assert folded("s-1", "b-1", [entry_of()], table).withheld != ()


def test_time_of_day_decides_nothing() -> None:
    early = entry_of(1, field="pit", kind="pit", lamport=9, written=later(-9))
    late = entry_of(1, field="pit", kind="pit", lamport=2, written=later(9), device="dy")
    field = folded("s-1", "b-1", [late, early]).field("pit")

    assert field is not None and field.fact is not None and field.fact.id == early.id
