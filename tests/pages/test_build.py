"""Steps, check marks and clocks: what is counted comes from the record, not from a timer."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cache

from pitwright.joining.assembly import Assembly, Step
from pitwright.pages.asked import Want
from pitwright.pages.build import build_page, take_build
from pitwright.pages.doing import Doing, doings, done_at
from pitwright.pages.standing import Pit
from pitwright.planning import Plan, plan
from pitwright.records.progress import progress_tables
from pitwright.survey.pit import read_survey
from pitwright.trains.cut_list import Where
from tests.pages.standings import NOW, asked, example, pit_of, shelf

CEMENTED = (
    ("push", 0.02), ("last_coat", 100.0), ("bottom_by", 20.0), ("hand_hold", 30.0),
    ("set_at", 1000.0), ("cured_at", 7300.0),
)  # fmt: skip
NAMES = (("before", "piece A"), ("after", "bend 1"), ("to", "bend 1"))


@cache
def planned() -> Plan:
    """The orchard's plan, its best option with an order of joints of our own."""
    made = plan(read_survey(example("orchard-gate"), "orchard", shelf()))
    zone = made.zones[0]
    assert isinstance(zone.answer, tuple)
    steps = (
        Step("cut_piece", Where.BENCH, (), 0, 60, 60, False,
             (("length", 0.1), ("mark_before", 0.02), ("mark_after", 0.02)), (("piece", "A"),)),
        Step("bench_joint", Where.BENCH, (0,), 60, 150, 150, False, CEMENTED, NAMES),
        Step("push_joint", Where.PIT, (1, 2), 200, 300, 300, False, CEMENTED, NAMES),
        Step("water_on", Where.PIT, (), 8000, 8000, 8000),
    )  # fmt: skip
    order = Assembly(steps, ((0,), (1, 2)), (1, 2), 0.0, "none", None, 8000.0)
    best = replace(zone.answer[0], assembly=order)
    return replace(made, zones=(replace(zone, answer=(best, *zone.answer[1:])),))


def pit(*more: Want) -> Pit:
    return pit_of(example("orchard-gate"), more, planned())


def every_step() -> tuple[Doing, ...]:
    return doings(pit().goings[0].stage)


def pressed(before: Pit, name: str) -> tuple[Want, ...]:
    return take_build(before, asked(step=name)).wants


def test_a_step_done_stands_in_the_record_with_its_joints() -> None:
    every = every_step()
    assert [d.joints for d in every] == [(), (1,), (2, 3), ()]
    wants = pressed(pit(), every[2].name)
    assert [w.kind for w in wants] == ["step", "joint", "joint"]
    after = pit(*wants)
    assert done_at(after.state, after.goings[0], every[2]) is not None
    assert pressed(after, every[2].name) == ()  # a second tap
    saved = after.state.of_kind("pit")[0].entry
    assert progress_tables(after.state, saved, ["pears"]).tables == {
        "zone": {"pears": {"joints": [2, 3]}}
    }


def test_a_clock_counts_from_the_record_after_any_restart() -> None:
    wants = pressed(pit(), every_step()[2].name)
    after = pit(*wants)
    made = done_at(after.state, after.goings[0], every_step()[2])
    assert made is not None and made > NOW
    page = build_page(after, asked(made + timedelta(seconds=10))).body
    until = int((made + timedelta(seconds=900)).timestamp() * 1000)
    assert f'data-until="{until}"' in page and "20 s left" in page
    later = build_page(after, asked(made + timedelta(hours=3))).body
    assert later.count("(over)") == 2


def test_water_waits_for_the_slowest_of_all_joints() -> None:
    every = every_step()
    first = pit(*pressed(pit(), every[1].name))
    assert "Water on not before 2 h after the last joint" in build_page(first, asked()).body
    both = pit(*pressed(pit(), every[1].name), *pressed(first, every[2].name))
    made = done_at(both.state, both.goings[0], every[2])
    assert made is not None
    told = f"{made + timedelta(seconds=7200):%H:%M:%S}"
    assert told in build_page(both, asked(made)).body


def test_water_is_not_on_before_all_is_done_and_cured_unless_somebody_insists() -> None:
    every = every_step()
    water = every[3].name
    early = take_build(pit(), asked(step=water))
    assert early.wants == () and "3 steps before it not done" in early.trouble[""]
    page = build_page(pit(), asked()).body
    assert "3 steps before it not done" in page and "Water is on all the same" in page
    wants: list[Want] = []
    for doing in every[:3]:
        wants += pressed(pit(*wants), doing.name)
    made = done_at(pit(*wants).state, pit(*wants).goings[0], every[2])
    assert made is not None
    soon, late = made + timedelta(minutes=5), made + timedelta(seconds=7201)
    curing = take_build(pit(*wants), asked(soon, step=water))
    until = f"{made + timedelta(seconds=7200):%H:%M}"
    assert curing.trouble[""] == f"Water stays off: the last joint cures until {until}."
    assert take_build(pit(*wants), asked(soon, step=water, sure="yes")).wants
    assert take_build(pit(*wants), asked(late, step=water)).wants
    assert "all the same" not in build_page(pit(*wants), asked(late)).body


def test_after_a_tap_the_page_stands_at_the_step_just_done() -> None:
    name = every_step()[1].name
    taken = take_build(pit(), asked(step=name))
    anchor = taken.go.partition("#")[2]
    assert f'id="{anchor}"' in build_page(pit(*taken.wants), asked()).body


def test_cautions_come_first_and_stand_open_until_work_begins() -> None:
    page = build_page(pit(), asked()).body
    assert page.index("Before anything is cut") < page.index("<h2>Zone")
    assert '<details class="notice stop" open>' in page
    begun = build_page(pit(*pressed(pit(), every_step()[0].name)), asked()).body
    assert "Before anything is cut" in begun and '<details class="notice stop" open>' not in begun


def test_a_piece_as_really_cut_is_compared_with_the_plan() -> None:
    taken = take_build(pit(), asked(NOW, letter="pears A", planned="4", **{"cut-pears-a": "4 in"}))
    assert [w.body["letter"] for w in taken.wants] == ["pears A"]
    page = build_page(pit(*taken.wants), asked()).body
    assert "Cut to 4 in: " in page
    wrong = take_build(pit(), asked(NOW, letter="pears A", **{"cut-pears-a": "four"}))
    assert list(wrong.trouble) == ["cut-pears-a"]


def test_a_mark_at_the_dry_fit_counts_instead_of_an_earlier_cut_and_not_of_a_later_one() -> None:
    cut = Want("piece", {"letter": "pears A", "cut": {"typed": "4 in"}})
    mark = Want("mark", {"letter": "pears A", "marked": {"typed": "3 3/4 in"}})
    for wants, expected in (
        ((cut,), {"cut": {"A": "4 in"}}),
        ((cut, mark), {"marked": {"A": "3 3/4 in"}}),
        ((mark, cut), {"marked": {"A": "3 3/4 in"}, "cut": {"A": "4 in"}}),
    ):
        after = pit(*wants)
        saved = after.state.of_kind("pit")[0].entry
        assert progress_tables(after.state, saved, ["pears"]).tables == {
            "zone": {"pears": expected}
        }


def test_a_step_that_is_no_longer_there_is_told() -> None:
    assert "no longer there" in take_build(pit(), asked(step="pears step 99 x")).trouble[""]
