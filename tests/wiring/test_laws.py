"""Laws of the inference: names do not matter, repeats teach nothing, chances sum to one."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from random import Random

from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.survey.harness import CONTROLLER, Box, Common, Harness, Station
from pitwright.wiring.answer import answer, desk
from pitwright.wiring.belief import model, start
from pitwright.wiring.faults import Place
from pitwright.wiring.guard import merged
from pitwright.wiring.measuring import MeterTest, Reading
from tests.wiring.harnesses import COIL, three

NAMES = ("S1", "S2", "S3")
ohms = st.one_of(st.floats(1.0, 200.0), st.just("OL"))


def readings_strategy() -> st.SearchStrategy[tuple[Reading, ...]]:
    single = st.builds(lambda s, v: Reading(MeterTest("ohms", s), v), st.sampled_from(NAMES), ohms)
    both = st.builds(
        lambda p, v: Reading(MeterTest("ohms", *p), v),
        st.sampled_from([("S1", "S2"), ("S1", "S3"), ("S2", "S3")]),
        ohms,
    )
    moved = st.builds(
        lambda s, v: Reading(MeterTest("moves", s), frozenset(v)),
        st.sampled_from(NAMES),
        st.sets(st.sampled_from(NAMES)),
    )
    return st.lists(
        st.one_of(single, both, moved), min_size=1, max_size=4, unique_by=lambda r: r.test
    ).map(tuple)


@given(readings_strategy())
@settings(max_examples=25)
def test_chances_sum_to_one(readings: tuple[Reading, ...]) -> None:
    now = start(model(three()), readings)
    assert abs(sum(now.probabilities()) - 1.0) < 1e-12
    assert abs(sum(now.places().values()) - 1.0) < 1e-9


def renamed(readings: tuple[Reading, ...], names: dict[str, str]) -> tuple[Reading, ...]:
    found = []
    for r in readings:
        value = r.value
        if isinstance(value, frozenset):
            value = frozenset(names[v] for v in value)
        test = replace(r.test, a=names[r.test.a], b=names.get(r.test.b, ""))
        found.append(Reading(test, value))
    return tuple(found)


@given(readings_strategy(), st.permutations(["X", "Y", "Z"]))
@settings(max_examples=20)
def test_renaming_stations_renames_the_answer(
    readings: tuple[Reading, ...], other: list[str]
) -> None:
    names = dict(zip(NAMES, other, strict=True))
    harness = three()
    turned = replace(harness, stations=tuple(replace(s, id=names[s.id]) for s in harness.stations))
    mine = start(model(harness), readings).places()
    theirs = start(model(turned), renamed(readings, names)).places()
    for place, p in mine.items():
        on, second = names.get(place.on, place.on), names.get(place.other, place.other)
        assert abs(theirs[replace(place, on=on, other=second)] - p) < 1e-9


@given(readings_strategy())
@settings(max_examples=20)
def test_the_order_of_stations_in_the_file_does_not_matter(readings: tuple[Reading, ...]) -> None:
    harness = three()
    turned = replace(harness, stations=harness.stations[::-1])
    mine = start(model(harness), readings).places()
    theirs = start(model(turned), readings).places()

    def plain(places: dict[Place, float]) -> dict[object, float]:
        return {(p.kind, frozenset((p.on, p.other)), p.segment): v for p, v in places.items()}

    other = plain(theirs)
    assert all(abs(other[k] - v) < 1e-9 for k, v in plain(mine).items())


@given(readings_strategy(), st.randoms(use_true_random=False))
@settings(max_examples=20)
def test_the_order_of_readings_does_not_matter(readings: tuple[Reading, ...], dice: Random) -> None:
    mixed = list(readings)
    dice.shuffle(mixed)
    made = model(three())
    mine = start(made, readings, pruned=False).probabilities()
    theirs = start(made, mixed, pruned=False).probabilities()
    assert all(abs(a - b) < 1e-9 for a, b in zip(mine, theirs, strict=True))


@given(readings_strategy())
@settings(max_examples=20)
def test_a_repeated_reading_adds_nothing(readings: tuple[Reading, ...]) -> None:
    """A meter errs the same way each time, so a repeat of a test that agrees is one reading."""
    repeated = (*readings, *readings)
    kept, said = merged(repeated)
    assert kept == readings
    assert said == ()


def test_coil_scatter_is_shared_so_three_like_readings_prove_no_fault() -> None:
    """Three readings through one coil that is 6 % high are one coil, not three proofs."""
    made = model(three())
    high = [
        Reading(MeterTest("ohms", "S2"), 33.4),
        Reading(MeterTest("ohms", "S1", "S2"), 61.9),
        Reading(MeterTest("ohms", "S2", "S3"), 62.6),
    ]
    one = start(made, high[:1]).probabilities()[0]
    three_of_them = start(made, high).probabilities()[0]
    assert three_of_them > 0.3 * one


@given(readings_strategy())
@settings(max_examples=6)
def test_an_edited_reading_is_as_if_typed_so_at_first(readings: tuple[Reading, ...]) -> None:
    ready = desk(three())
    wrong = (replace(readings[0], value="OL"), *readings[1:])
    if isinstance(readings[0].value, frozenset):
        wrong = (replace(readings[0], value=frozenset()), *readings[1:])
    with suppress(ValueError):
        answer(ready, wrong)
    try:
        after = answer(ready, readings)
    except ValueError:
        return
    assert after == answer(desk(three()), readings)


def test_a_branching_harness_has_its_common_only_where_it_is_needed() -> None:
    boxes = (Box("A", CONTROLLER, 20.0), Box("B", "A", 30.0), Box("C", "A", 40.0))
    harness = Harness(
        "fork",
        boxes,
        (Common("C1"), Common("C2")),
        (Station("S1", "B", "C1", 18, COIL), Station("S2", "C", "C2", 18, COIL)),
    )
    assert harness.segments("C1") == ("A", "B")
    made = model(harness)
    sound = [Reading(MeterTest("ohms", s), 29.1) for s in ("S1", "S2")]
    assert start(made, sound).probabilities()[0] > 2.0 * start(made).probabilities()[0]
