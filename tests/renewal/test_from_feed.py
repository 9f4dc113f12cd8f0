"""Rebuilding from the feed: the header fits its hole, its branches close, all of it is said."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.renewal.from_feed import FromFeed, rebuild_from_feed
from pitwright.renewal.mouth import passes_mouth
from pitwright.renewal.option import overlap
from pitwright.survey.pit import Survey, read_survey
from pitwright.units.inches import SIXTEENTH
from pitwright.units.kinds import INCH
from pitwright.wording.findings import finding_words, short_words
from pitwright.wording.steps import step_words

GARDEN = Path(__file__).resolve().parents[2] / "examples" / "walled-garden.pit.toml"


def shed(*changes: tuple[str, str]) -> Survey:
    text = GARDEN.read_text(encoding="utf-8")
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new, 1)
    return read_survey(text, GARDEN.name, load_shelf())


@cache
def rebuilt() -> FromFeed:
    got = rebuild_from_feed(shed())
    assert isinstance(got, FromFeed)
    return got


def codes(got: FromFeed | Refusal) -> set[str]:
    assert isinstance(got, Refusal)
    assert all(short_words(s) for s in got.because)
    return {s.code for s in got.because}


def test_every_zone_has_a_tee_and_a_train_that_closes() -> None:
    got = rebuilt()
    assert [z for z, _ in got.places] == ["herbs", "frames", "pears"]
    assert len(got.branches) == 3
    assert all(o.bending.closes or o.digging > 0.0 for o in got.branches)
    for a, b in pairwise(got.branches):
        assert overlap(a, b) <= 0.0


def test_pieces_tees_and_take_outs_add_up_to_the_places() -> None:
    """By faces: the union's far socket bottom, then piece and two take-outs again and again."""
    got = rebuilt()
    tee = load_shelf().fitting("tee", "1-1/4", 90.0, "40")
    assert tee is not None
    takeout, depth = tee.ports[0].takeout.value, tee.ports[0].depth.value
    between = [p for p in got.pieces if p.before.startswith("tee") and p.after.startswith("tee")]
    places = sorted(s for _, s in got.places)
    for piece, (a, b) in zip(between, pairwise(places), strict=True):
        assert piece.length + 2 * takeout == pytest.approx(b - a)
        assert piece.length >= 2 * depth + INCH / 8 - 1e-9
    for piece in got.pieces:
        assert piece.length / SIXTEENTH == pytest.approx(round(piece.length / SIXTEENTH), abs=1e-6)


def test_bill_and_cut_list_tell_the_same_pipe() -> None:
    got = rebuilt()
    count, pipes = dict(got.parts), dict(got.pipes)
    assert count["1-1/4 in tee"] == 3
    assert count["1-1/4 x 1 in bushing"] == 3
    assert count["1-1/4 in union"] == 1
    assert count["valve globe"] == 3
    assert count["valve ball"] == 1
    assert pipes["1-1/4 in schedule 40 PVC"] == pytest.approx(sum(p.length for p in got.pieces))


def test_the_feed_is_made_first_and_shut_before_anything_else_is_wetted() -> None:
    got = rebuilt()
    told = [s.code for s in got.steps]
    assert told.index("push_joint") < told.index("shut_closed") < told.index("close_union")
    assert told.index("close_union") < told.index("branch_in") < told.index("water_on")
    times = [t for s in got.steps for t in (s.starts, s.ends)]
    assert times == sorted(times)
    assert all(step_words(s) != s.code for s in got.steps)
    assert all(finding_words(f) for f in got.findings)


def test_a_spool_longer_than_the_mouth_asks_for_the_box_to_come_out() -> None:
    wide = rebuilt()
    assert wide.passes
    right = 'mouth = { left = "-4", right = "26"'
    got = rebuild_from_feed(
        shed(
            (right, 'mouth = { left = "2", right = "17"'),
            ('upstream = "-6", downstream = "20" }', 'upstream = "-2", downstream = "10" }'),
        )
    )
    assert isinstance(got, FromFeed)
    assert not got.passes
    assert "box_comes_out" in {f.code for f in got.findings}


def test_what_passes_a_mouth_is_what_a_rectangle_lets_through() -> None:
    box = shed().box
    long, wide = (b - a for a, b in zip(box.mouth.least, box.mouth.most, strict=True))
    assert passes_mouth(box, long, 0.5 * wide)
    assert passes_mouth(box, wide, long)
    assert not passes_mouth(box, long, wide + INCH)
    assert not passes_mouth(box, 1.01 * (long**2 + wide**2) ** 0.5, 0.0)


def test_the_wall_near_by_leaves_no_place_for_three_tees() -> None:
    walls = ('soil = { left = "-9", right = "34"', 'soil = { left = "-9", right = "20"')
    near = ('right = "26", upstream = "-6", downstream = "20"',
            'right = "19", upstream = "-6", downstream = "20"')  # fmt: skip
    bottom = ('right = "26", upstream = "-6", downstream = "21"',
              'right = "19", upstream = "-6", downstream = "21"')  # fmt: skip
    pears = ('tip = ["23", "4", "0"]', 'tip = ["19", "4", "0"]')
    out = ('tip = ["23 1/4", "19 1/2", "-2 1/4"]', 'tip = ["19", "19 1/2", "-4"]')
    got = rebuild_from_feed(shed(walls, near, bottom, pears, out))
    assert "HEADER_SHORT" in codes(got)


def test_a_feed_that_runs_is_gripped_and_blocked_or_refused() -> None:
    runs = ('cut_back = "3"\nbare = ["6"]', 'cut_back = "3"\nbare = ["6"]\nseeps = "60 mL/min"')
    assert codes(rebuild_from_feed(shed(runs))) == {"WET_SOCKET", "THRUST"}


def test_a_feed_let_out_at_a_relief_end_is_glued_after_a_look() -> None:
    runs = (
        'cut_back = "3"\nbare = ["6"]',
        'cut_back = "3"\nbare = ["6"]\nseeps = "60 mL/min"\n'
        'relief = ["0", "-3", "-9"]\nrelief_bore = "1/2"',
    )
    got = rebuild_from_feed(shed(runs))
    assert isinstance(got, FromFeed)
    told = [s.code for s in got.steps]
    assert told.index("open_relief") < told.index("still_dry") == told.index("push_joint") - 1
    assert told[-3:] == ["close_relief", "flush_through", "water_on"]


def test_without_a_header_written_down_nothing_is_rebuilt() -> None:
    text = GARDEN.read_text(encoding="utf-8")
    begin, end = text.index("[header]"), text.index("[obstacle.old-header]")
    survey = read_survey(text[:begin] + text[end:], GARDEN.name, load_shelf())
    assert codes(rebuild_from_feed(survey)) == {"NO_HEADER"}


def test_a_shut_off_of_another_size_is_refused() -> None:
    got = rebuild_from_feed(shed(('shut_off = "ball"', 'shut_off = "globe"')))
    assert codes(got) == {"OTHER_SIZE"}
