"""A shut-off now and the rest later: where it stands, what stops it, and what it leaves."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.findings import Refusal
from pitwright.renewal.shut_off import ShutOff, shut_off
from pitwright.survey.pit import Survey
from pitwright.units.kinds import INCH
from pitwright.wording.findings import finding_words, short_words
from pitwright.wording.steps import step_words
from tests.survey.pits import read

PIT = """
[pit]
name = "mill race"
unit = "in"

[box]
shape = "rectangle"
mouth = { left = "-8", right = "8", upstream = "-26", downstream = "20" }
grade = "9"
floor = "-9"

[stub.in]
side = "inlet"
tip = ["0", "0", "0"]
faces = "downstream"
pipe = "1 in schedule 40 PVC"
cut_back = "20"
bare = ["22"]
condition = "sound"

[stub.out]
side = "outlet"
tip = ["0", "9", "0"]
faces = "upstream"
pipe = "1 in schedule 40 PVC"
cut_back = "3"
bare = ["10"]
condition = "sound"

[valve.stop]
body = "4 1/2"
ends = "socket"
size = "1"
union_ends = true
from = "measured"

[zone.mill]
inlet = "in"
outlet = "out"
shut_off = "stop"

[existing.old]
kind = "valve"
zone = "mill"
fate = "stays"

[conditions]
pipe = "70 F"

[preferences]
blocks = true
"""


def asked(*changes: tuple[str, str], text: str = PIT) -> ShutOff | Refusal:
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    survey = read(text)
    return shut_off(survey, survey.zones[0])


FREE = (("union_ends = true", ""), ('fate = "stays"', 'fate = "goes"'))


def codes(got: ShutOff | Refusal) -> set[str]:
    assert isinstance(got, Refusal)
    assert all(short_words(s) for s in got.because)
    return {s.code for s in got.because}


def test_a_body_with_union_ends_goes_into_the_line_and_the_old_valve_stays_in_use() -> None:
    got = asked()
    assert isinstance(got, ShutOff)
    assert got.in_line
    assert "old valve" in got.keeps
    assert got.joint == "direct"
    assert [s.code for s in got.steps] == [
        "prove_flow", "check_before_cut", "cut_out", "dry_fit_one", "push_joint", "push_joint",
        "close_union", "shut_closed", "water_on",
    ]  # fmt: skip


def test_what_comes_out_is_the_body_less_its_two_sockets() -> None:
    """4-1/2 face to face, the shelf's socket at both ends: the pipe ends stand that far apart."""
    got = asked()
    assert isinstance(got, ShutOff)
    depth = read(PIT).shelf.fitting("coupling", "1", schedule="40")
    assert depth is not None
    deep = depth.ports[0].depth.value
    assert got.taken_out == pytest.approx(4.5 * INCH - 2 * deep)
    straight = 22 * INCH
    assert got.behind + deep + got.cut == pytest.approx(straight)
    assert got.ahead + deep + got.taken_out == pytest.approx(got.cut)


def test_a_body_without_unions_is_pushed_on_a_free_end_and_the_zone_waits() -> None:
    got = asked(*FREE)
    assert isinstance(got, ShutOff)
    assert not got.in_line
    assert got.rest.seeps is None
    assert "zone_waits" in {f.code for f in got.findings}
    assert got.rest_goes_in is None


def test_where_a_new_valve_is_asked_for_the_rest_is_proved() -> None:
    new = '[valve.new]\nbody = "4"\nends = "socket"\nsize = "1"\n\n[zone.mill]\nvalve = "new"\n'
    got = asked(*FREE, ("[zone.mill]\n", new))
    assert isinstance(got, ShutOff)
    assert got.rest_goes_in is True


def test_without_unions_a_valve_that_stays_leaves_no_way_in() -> None:
    assert codes(asked(("union_ends = true", ""))) == {"SHUT_OFF_FIXED"}


def test_a_stub_that_runs_gets_no_cement_but_a_grip_that_is_blocked() -> None:
    got = asked(('tip = ["0", "0", "0"]', 'tip = ["0", "0", "0"]\nseeps = "40 mL/min"'))
    assert isinstance(got, ShutOff)
    assert got.joint == "gripped"
    told = [s.code for s in got.steps]
    assert "push_joint" not in told
    assert told.index("block_joint") < told.index("water_on")
    assert {"relief_lower", "shut_off_blocked"} <= {f.code for f in got.findings}


RUNS = 'tip = ["0", "0", "0"]\nseeps = "40 mL/min"'
LOW = '\nrelief = ["0", "-24", "-6"]\nrelief_bore = "1/2"'


@pytest.mark.parametrize("more", [(), FREE])
def test_a_stub_let_out_at_a_relief_end_is_glued_after_a_look_and_closed_last(
    more: tuple[tuple[str, str], ...],
) -> None:
    got = asked(('tip = ["0", "0", "0"]', RUNS + LOW), *more)
    assert isinstance(got, ShutOff)
    assert got.joint == "direct"
    told = [s.code for s in got.steps]
    assert told.index("open_relief") < told.index("check_before_cut") < told.index("still_dry")
    assert all(told[n - 1] == "still_dry" for n, c in enumerate(told) if c == "push_joint")
    assert all(s.stop for s in got.steps if s.code == "still_dry")
    assert told.index("shut_closed") < told.index("close_relief") == len(told) - 2
    assert "relief_lower" not in {f.code for f in got.findings}
    assert got.water_on > 1.4 * asked_water(*more)


def asked_water(*changes: tuple[str, str]) -> float:
    got = asked(*changes)
    assert isinstance(got, ShutOff)
    return got.water_on


def test_a_relief_end_that_is_not_lower_leaves_the_grip_alone() -> None:
    high = LOW.replace("-6", "0")
    got = asked(('tip = ["0", "0", "0"]', RUNS + high))
    assert isinstance(got, ShutOff)
    assert got.joint == "gripped"
    loose = asked(('tip = ["0", "0", "0"]', RUNS + high), ("blocks = true", "blocks = false"))
    assert "RELIEF_HIGH" in codes(loose)


def test_a_grip_that_nothing_backs_is_refused_on_a_stub_that_runs() -> None:
    runs = ('tip = ["0", "0", "0"]', 'tip = ["0", "0", "0"]\nseeps = "40 mL/min"')
    got = asked(runs, ("blocks = true", "blocks = false"))
    assert codes(got) == {"WET_SOCKET", "THRUST"}


def test_too_little_bare_pipe_is_refused_with_how_much_more_would_do() -> None:
    got = asked(('cut_back = "20"', 'cut_back = "2"'))
    assert isinstance(got, Refusal)
    (short,) = [s for s in got.because if s.code == "SHUT_OFF_BARE" and s.tried == "direct"]
    enough = 2 + short.missed / INCH
    assert isinstance(asked(('cut_back = "20"', f'cut_back = "{enough + 0.01:.3f}"')), ShutOff)
    assert isinstance(asked(('cut_back = "20"', f'cut_back = "{enough - 0.02:.3f}"')), Refusal)


def wall(start: str, end: str) -> tuple[str, str]:
    thing = f'[obstacle.beam]\nkind = "wall"\nstart = {start}\nend = {end}\nthick = "1"\n\n'
    return "[conditions]", thing + "[conditions]"


def test_a_beam_beside_the_whole_straight_is_named() -> None:
    got = asked(wall('["1 1/2", "-30", "0"]', '["1 1/2", "5", "0"]'))
    assert codes(got) >= {"SHUT_OFF_ROOM"}
    assert isinstance(got, Refusal)
    assert {s.where for s in got.because} == {"beam"}


def test_where_one_place_is_taken_the_body_stands_farther_on() -> None:
    free, moved = asked(), asked(wall('["-6", "-17", "1 1/2"]', '["6", "-17", "1 1/2"]'))
    assert isinstance(free, ShutOff)
    assert isinstance(moved, ShutOff)
    assert moved.joint == free.joint
    assert moved.cut < free.cut


def test_no_body_written_down_says_how_to_write_one() -> None:
    assert codes(asked(('shut_off = "stop"\n', ""))) == {"NO_SHUT_OFF"}


@given(st.floats(0.5, 20.5), st.booleans(), st.booleans(), st.booleans())
def test_whatever_is_planned_keeps_inside_the_bare_pipe_and_its_clock_never_runs_back(
    back: float, unions: bool, runs: bool, blocks: bool
) -> None:
    """More water never allows a joint that less water forbids."""
    changes = [('cut_back = "20"', f'cut_back = "{back:.3f}"')]
    if not unions:
        changes += FREE
    if not blocks:
        changes += [("blocks = true", "blocks = false")]
    dry = asked(*changes)
    wet = asked(*changes, ('tip = ["0", "0", "0"]', 'tip = ["0", "0", "0"]\nseeps = "40 mL/min"'))
    if isinstance(wet, ShutOff):
        assert isinstance(dry, ShutOff)
        assert wet.joint == "gripped"
    got = wet if runs else dry
    if isinstance(got, ShutOff):
        assert 0.0 <= got.cut <= round(back, 3) * INCH + 1e-9
        assert min(got.behind, got.ahead) >= 0.0
        times = [t for s in got.steps for t in (s.starts, s.free, s.ends)]
        assert times == sorted(times)
        assert all(step_words(s) != s.code for s in got.steps)
        assert all(finding_words(f) for f in got.findings)


def test_the_rest_begins_where_the_nipple_ends() -> None:
    got = asked(*FREE)
    assert isinstance(got, ShutOff)
    assert got.rest.glued is not None
    assert got.rest.glued.cut == got.cut
    assert got.rest.tip.mean[1] == pytest.approx(0.0, abs=1e-9)
    short = asked(
        ("union_ends = true", ""),
        ('fate = "stays"', 'fate = "goes"'),
        ('back = "20"', 'back = "1"'),
    )
    assert isinstance(short, ShutOff)
    assert short.rest.tip.mean[1] > 0.0


def survey_of(text: str = PIT) -> Survey:
    return read(text)


def test_cracked_pipe_is_not_joined() -> None:
    survey = survey_of()
    cracked = replace(survey.stubs[0], condition="cracked")
    got = shut_off(replace(survey, stubs=(cracked, survey.stubs[1])), survey.zones[0])
    assert codes(got) == {"CRACKED"}
