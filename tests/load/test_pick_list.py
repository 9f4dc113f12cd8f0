"""What to load: what is needed, one spare of what is glued once, less what is there already."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from pitwright.load.pick_list import PickLine, consumables, pick_list, pipe_to_load

LINES = st.lists(st.tuples(st.sampled_from(["elbow", "tee", "valve x"]), st.integers(1, 5)))


def test_like_parts_are_added_up_and_get_one_spare_and_valves_none() -> None:
    got = pick_list([("elbow", 2), ("valve x", 1), ("elbow", 1)], {"elbow": 3})
    assert got == (PickLine("elbow", 3, 1, 3), PickLine("valve x", 1, 0, 0))
    assert [line.to_load for line in got] == [1, 1]


@given(LINES, st.integers(0, 20))
def test_what_is_loaded_and_what_is_there_always_covers_need_and_spare(
    needed: list[tuple[str, int]], there: int
) -> None:
    for line in pick_list(needed, {"elbow": there}):
        assert line.need == sum(n for item, n in needed if item == line.item)
        assert line.to_load + line.on_truck >= line.need + line.spare
        assert line.to_load >= 0


def test_a_full_truck_needs_nothing() -> None:
    assert pick_list([("elbow", 1)], {"elbow": 9})[0].to_load == 0


def test_pipe_is_the_pieces_a_saw_cut_each_and_a_foot() -> None:
    assert pipe_to_load(0.5, 3, 0.002) == 0.5 + 3 * 0.002 + 0.3048


def test_consumables_are_named_once_with_an_amount_and_a_time() -> None:
    items = [item for item, _, _ in consumables()]
    assert len(items) == len(set(items)) > 8
    assert all(when and amount for _, when, amount in consumables())
    assert {"glue", "thread", "always"} <= {when for _, when, _ in consumables()}


def test_nothing_glued_asks_for_no_primer_and_no_cement() -> None:
    dry = [item for item, _, _ in consumables(("joint", "thread"))]
    assert not any("PVC" in item or item == "rags" for item in dry)
    assert "depth-mark pencil" in dry
    assert set(consumables(("joint", "thread", "glue", "valve"))) == set(consumables())
    assert all(when == "always" for _, when, _ in consumables(()))
