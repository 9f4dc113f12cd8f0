"""Shut-off first: on a feed that runs nothing is glued before it is closed, everything after."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from pitwright.findings import Refusal
from pitwright.joining.assembly import Assembly
from pitwright.joining.checking import objections
from pitwright.joining.reworked import reworked
from pitwright.joining.work import Work
from pitwright.planning import ZonePlan, plan
from pitwright.renewal.job import Job
from pitwright.renewal.option import Option
from pitwright.renewal.proving import work_of
from pitwright.renewal.way import SHUT_FIRST
from pitwright.trains.cut_list import Where
from pitwright.wording.findings import short_words
from pitwright.wording.steps import step_lines, step_words
from tests.survey.pits import read

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "spring-head.pit.toml"
TEXT = EXAMPLE.read_text(encoding="utf-8") + "most_bends = 2\n"
RELIEF = 'seeps = "90 mL/min"\nrelief = ["0", "-10", "-7"]\nrelief_bore = "1/2"'


@cache
def zone(text: str) -> ZonePlan:
    return plan(read(text)).zones[0]


def changed(*changes: tuple[str, str]) -> ZonePlan:
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return zone(text)


def first(found: ZonePlan) -> Option:
    assert isinstance(found.answer, tuple)
    return next(o for o in found.answer if o.way == SHUT_FIRST)


def checked(found: ZonePlan, text: str = TEXT) -> tuple[Work, Assembly]:
    option, survey = first(found), read(text)
    assert option.assembly is not None
    job = Job(survey, found.zone, option.stubs_of(survey))
    return work_of(job, option), option.assembly


def glued_in_the_pit(assembly: Assembly) -> list[int]:
    return [
        n
        for n, s in enumerate(assembly.steps)
        if s.where is Where.PIT and "last_coat" in dict(s.numbers)
    ]


def test_nothing_is_glued_in_the_pit_before_the_shut_off_is_closed() -> None:
    work, assembly = checked(zone(TEXT))
    told = [s.code for s in assembly.steps]
    shut = told.index("shut_closed")
    assert told.index("grip_joint") < told.index("block_joint") < shut == assembly.first - 1
    assert min(glued_in_the_pit(assembly)) > shut
    assert told.count("prove_flow") == told.count("water_on") == 1
    assert objections(work, assembly) == ()
    times = [t for s in assembly.steps for t in (s.starts, s.free, s.ends)]
    assert times == sorted(times)


def test_without_a_shut_off_written_down_the_way_says_to_write_one() -> None:
    got = changed(('shut_off = "stop"\n', ""))
    (way,) = [w for w in got.ways if w.way == SHUT_FIRST]
    assert isinstance(way.answer, Refusal)
    assert [s.code for s in way.answer.because] == ["NO_SHUT_OFF"]
    assert "shut_off" in short_words(way.answer.because[0])


def test_a_dry_feed_is_cut_in_at_once() -> None:
    got = changed(('seeps = "90 mL/min"\n', ""))
    assert isinstance(got.answer, tuple)
    assert SHUT_FIRST not in {o.way for o in got.answer}
    (way,) = [w for w in got.ways if w.way == SHUT_FIRST]
    assert isinstance(way.answer, Refusal)
    assert [s.code for s in way.answer.because] == ["FEED_DRY"]


def test_its_parts_pipe_and_cut_are_told_with_the_trains() -> None:
    option = first(zone(TEXT))
    assert option.first is not None
    names = dict(option.parts)
    assert {"valve stop", "valve new", "1 in compression coupling"} <= set(names)
    feed, behind, out = option.works
    assert (feed.stub, out.stub) == ("feed", "meadow")
    assert behind.stub == "the pipe behind the stop"
    assert option.pipe > sum(p.length for p in option.cuts.pieces)
    pieces = [s.name("piece") for s in option.assembly.steps if s.code == "cut_piece"]  # type: ignore[union-attr]
    assert len(set(pieces)) == len(pieces)


def test_with_a_relief_end_the_feed_is_glued_after_a_look_and_closed_when_all_is_cured() -> None:
    got = changed(
        ('seeps = "90 mL/min"', RELIEF),
    )
    work, assembly = checked(got, TEXT.replace('seeps = "90 mL/min"', RELIEF))
    told = [s.code for s in assembly.steps]
    assert told[: assembly.first].count("still_dry") == told[: assembly.first].count("push_joint")
    assert told[-2:] == ["close_relief", "water_on"]
    assert told.count("close_relief") == told.count("open_relief") == 1
    assert objections(work, assembly) == ()
    for step in assembly.steps:
        assert step_words(step) != step.code
    assert list(step_lines(assembly))


def test_the_checker_objects_to_a_late_shut_off_and_a_feed_that_was_not_watched() -> None:
    work, assembly = checked(zone(TEXT))
    late = replace(assembly, first=assembly.first - 1)
    assert "NOT_SHUT_FIRST" in {o.code for o in objections(work, late)}
    wet = replace(work, sides=(replace(work.sides[0], seeps=1e-6), work.sides[1]))
    assert "NOT_SHUT_FIRST" in {o.code for o in objections(wet, assembly)}
    text = TEXT.replace('seeps = "90 mL/min"', RELIEF)
    work, assembly = checked(zone(text), text)
    steps = tuple(s for s in assembly.steps if s.code != "still_dry")
    fewer = replace(assembly, steps=steps, first=assembly.first - 1)
    assert "NOT_SEEN_DRY" in {o.code for o in objections(work, fewer)}


@pytest.mark.parametrize("relief", [False, True])
@pytest.mark.parametrize("flow", [20, 800])
def test_more_water_never_adds_an_option(relief: bool, flow: int) -> None:
    """Nor is anything planned with cement on the feed where no relief end lets it out."""
    seeps = (RELIEF if relief else 'seeps = "90 mL/min"').replace("90", str(flow))
    more = seeps.replace(f'"{flow} mL', f'"{flow * 10} mL')
    less, most = (changed(('seeps = "90 mL/min"', s)) for s in (seeps, more))
    count = [len(z.answer) if isinstance(z.answer, tuple) else 0 for z in (less, most)]
    assert count[1] <= count[0]
    for option in less.answer if isinstance(less.answer, tuple) else ():
        assert option.assembly is not None
        if not relief:
            assert not any(
                0 in s.joints and "last_coat" in dict(s.numbers) and option.first is None
                for s in option.assembly.steps
            )


def test_cut_otherwise_the_shut_offs_own_steps_stay_as_they_are() -> None:
    """A cut of the pipe behind it is not the feed's, though both are told of the same stub."""
    option = first(zone(TEXT))
    assembly, stubs = option.assembly, (option.stubs[0].stub, option.stubs[1].stub)
    assert assembly is not None
    assert reworked(assembly, option.cuts, stubs) == assembly
    other = reworked(assembly, replace(option.cuts, inlet_cut=0.01), stubs)
    assert other.steps[: assembly.first] == assembly.steps[: assembly.first]
    cuts = [s for s in other.steps[assembly.first :] if s.code == "cut_stub"]
    assert [s.number("cut") for s in cuts if s.name("stub") == "feed"] == [0.01]
