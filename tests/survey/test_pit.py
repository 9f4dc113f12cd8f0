"""The whole survey: the examples read, and every mistake is told once, with its place."""

from __future__ import annotations

import math
import random
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import (
    BadInput,
    Contradiction,
    Duplicate,
    Malformed,
    Missing,
    OutOfRange,
    UnknownName,
    WrongUnit,
)
from pitwright.geometry.vector import Vec, angle_between, norm, sub
from pitwright.survey.pit import Survey, load_survey, read_survey
from pitwright.survey.stubs import Stub
from pitwright.units.kinds import INCH
from tests.survey.pits import EXAMPLES, SMALL, changed, read, small, swapped, turned_in_plan

PATHS = sorted(EXAMPLES.glob("*.pit.toml"))
TEXTS = [path.read_text(encoding="utf-8") for path in PATHS]
AXES: list[Vec] = [
    (1.0, 0.0, 0.0),
    (-1.0, 0.0, 0.0),
    (0.0, 1.0, 0.0),
    (0.0, -1.0, 0.0),
    (0.0, 0.0, 1.0),
    (0.0, 0.0, -1.0),
]


def out_of_true(stub: Stub) -> float:
    """The angle between a stub and the nearest axis of the pit. [deg]"""
    return math.degrees(min(angle_between(stub.outward, axis) for axis in AXES))


def example(name: str) -> Survey:
    return load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf())


@pytest.mark.parametrize("path", PATHS, ids=lambda p: p.name)
def test_every_example_is_crooked_as_pits_are(path: Path) -> None:
    """Stubs are 1 to 5 degrees out of true, no two of a zone in one plane with the axes."""
    survey = load_survey(path, load_shelf())
    for stub in survey.stubs:
        assert 1.0 <= out_of_true(stub) <= 5.0, stub.id
        assert norm(stub.outward) == pytest.approx(1.0, abs=1e-12)
        for reading in stub.tip.readings:
            assert reading.text in survey.text
            assert reading.id.startswith(f"stub.{stub.id}.tip.")
    for zone in survey.zones:
        across = sub(survey.stub(zone.outlet).tip.mean, survey.stub(zone.inlet).tip.mean)
        assert all(abs(c) > INCH / 16 - 1e-9 for c in across), zone.id
    assert survey.text == path.read_text(encoding="utf-8")
    assert not [f for f in survey.findings if f.code == "directions-disagree"]


def test_the_school_garden_asks_for_four_valves_and_mixes_sizes() -> None:
    survey = example("school-garden")
    assert [z.id for z in survey.zones] == ["hedge", "beds", "drip", "gate"]
    assert {s.pipe.id for s in survey.stubs if s.pipe} == {
        "pvc40-1", "pvc-sdr21-1", "pvc-sdr21-3/4",
    }  # fmt: skip
    assert [s.cut_back for s in survey.stubs if s.id.startswith("gate")] == [0.0, 0.0]
    assert [survey.valve(z.valve).size for z in survey.zones if z.valve] == ["1", "1", "3/4", "1"]


def test_the_three_examples_use_every_way_to_write_a_place_and_a_direction() -> None:
    for way in (
        r'tip = \["', r'tip = "from ', r'faces = "[a-z]+, [\d.]+ deg \w+, [\d.]+ deg \w+"',
        "by protractor", r'through = \["', r'through = "from ', r"\+-", 'pipe = "unknown"',
        "shape = .round", "turned =", 'unit = "cm"',
    ):  # fmt: skip
        assert any(re.search(way, text) for text in TEXTS), way


def test_a_survey_may_be_as_short_as_the_guide_says() -> None:
    survey = small()
    assert (survey.id, survey.name, survey.unit) == ("Chapel lawn", "Chapel lawn", "in")
    assert survey.downstream == "toward the bell tower"
    assert [s.id for s in survey.stubs] == ["feed", "lawn"]
    assert (survey.obstacles, survey.existing, survey.parts, survey.points) == ((), (), (), ())


def test_points_may_start_from_points_above_them() -> None:
    points = '[points]\nA = [-4, -3, 9]\n"corner B" = "from A, 20 right, 1 downstream, 1/2 down"\n'
    survey = small(points)
    (_, (name, b)) = survey.points
    assert name == "corner B"
    assert [c / INCH for c in b.mean] == pytest.approx([16, -2, 8.5])
    assert b.covariance[0][0] == pytest.approx(2 * (INCH / 16) ** 2)
    with pytest.raises(UnknownName, match=r"pit\.toml:2: points\.A .*is not a known point"):
        small('[points]\nA = "from B, 1 right, 0 upstream, 0 up"\nB = [1, 1, 1]\n')


MISTAKES: list[tuple[str, str, type[BadInput], str]] = [
    ('name = "Chapel lawn"\n', "", Missing, r"^pit\.toml:1: pit\.name is missing: give the pit a"),
    ('unit = "in"\n', "", Missing, r"^pit\.toml:1: pit\.unit is missing: write one of: in, ft"),
    ('unit = "in"', 'unit = "yd"', UnknownName, r"^pit\.toml:3: pit\.unit is not a known word"),
    ('name = "Chapel lawn"', "name = 4", Malformed, r"^pit\.toml:2: pit\.name must be text"),
    ('grade = "9"', 'grade = "9 psi"', WrongUnit, r"^pit\.toml:8: box\.grade must be in a unit"),
    ('tip = ["0", "0", "0"]', 'tip = ["0", "0", "0 gpm"]', WrongUnit,
     r"^pit\.toml:13: stub\.feed\.tip\.2 must be in a unit of length"),
    ('side = "inlet"\n', "", Missing, r"^pit\.toml:11: stub\.feed\.side is missing"),
    ('condition = "sound"', 'conditon = "sound"', UnknownName,
     r'^pit\.toml:18: stub\.feed\.conditon is not a known key here \(got "conditon"\): '
     r"did you mean condition"),
    ('pipe = "1 in SDR 21 PVC"', 'pipe = "1 in SDR 22 PVC"', UnknownName,
     r"^pit\.toml:24: stub\.lawn\.pipe is not a known pipe .*did you mean .*1 in SDR 21 PVC"),
    ('faces = "downstream, 2 deg right, 1 deg up"', "faces = [0, 0.0, 0]", OutOfRange,
     r"^pit\.toml:14: stub\.feed\.faces must be .*a zero direction faces nowhere"),
    ('tip = ["0", "0", "0"]', 'tip = ["0", "-9", "0"]', Contradiction,
     r"^pit\.toml:13: stub\.feed\.tip must lie inside the box, between gravel and ground"),
    ('tip = ["0", "0", "0"]', 'tip = ["0", "0", "12"]', Contradiction, r"stub\.feed\.tip must lie"),
    ('tip = ["0", "0", "0"]', 'tip = ["0", "401", "0"]', OutOfRange,
     r"^pit\.toml:13: stub\.feed\.tip\.1 must be -400 in to 400 in"),
    ('tip = ["0", "0", "0"]', 'tip = ["1/2", "14", "-1/8"]', Duplicate,
     r'^pit\.toml:22: stub\.lawn\.tip must not stand where stub "feed" stands'),
    ("[stub.lawn]", "[stub.feed]", Duplicate, r"^pit\.toml:20: the text must have every name once"),
    ("[stub.lawn]", "[stub.Feed]", Duplicate,
     r'^pit\.toml:20: stub\.Feed must differ from "feed" by more than capitals'),
    ("[stub.lawn]", '[stub." "]', Malformed, r'^pit\.toml:20: stub\." " must have a name'),
    ("[stub.lawn]", '[stub."a\\nb"]', Malformed, "1 to 60 plain characters"),
    ("[stub.lawn]", f"[stub.{'x' * 61}]", Malformed, "1 to 60 plain characters"),
    ("[pit]", f"points.{'x' * 61} = 4\n[pit]", Malformed, "1 to 60 plain characters"),
    ('outlet = "lawn"', 'outlet = "feed"', Contradiction,
     r"^pit\.toml:36: zone\.lawn\.outlet must be another stub"),
    ('body = "4 3/4"\n', "", Missing, r"^pit\.toml:29: valve\.new\.body is missing"),
    ("[valve.new]", "[valve.new]\nfoo = 1", UnknownName, r"^pit\.toml:30: valve\.new\.foo is"),
    ("[valve.new]", "[valves.new]", UnknownName,
     r"^pit\.toml:29: valves is not a known key here .*did you mean valve"),
    ("[valve.new]", "[[valve]]", Malformed, r"^pit\.toml:29: valve must hold named tables"),
    ("[box]", "[bx]", UnknownName, r"^pit\.toml:6: bx is not a known key here .*box"),
    ("[pit]", "[[pit]]", Malformed, r"^pit\.toml:1: pit must be a table"),
    ("[pit]", "points = 4\n[pit]", Malformed, r"^pit\.toml:1: points must be a table"),
    ("[pit]", "tools = 4\n[pit]", Malformed, r"^pit\.toml:1: tools must be a table"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "kind", "match"), MISTAKES)
def test_a_mistake_is_told_once_with_file_line_key_and_what_to_do(
    old: str, new: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match) as told:
        read(swapped(old, new))
    assert type(told.value) is kind
    assert told.value.file == "pit.toml"
    assert told.value.hint
    assert "\n" not in str(told.value)


@pytest.mark.parametrize("key", ["pit", "box", "stub", "zone"])
def test_a_section_that_is_needed_is_asked_for_by_name(key: str) -> None:
    text = re.sub(rf"(?ms)^\[{key}[.\]].*?(?=^\[|\Z)", "", SMALL)
    with pytest.raises(Missing, match=rf"^pit\.toml: {key} is missing: "):
        read(text)


def test_five_hundred_stubs_are_no_pit() -> None:
    many = "".join(f"[valve.v{i}]\n" for i in range(501))
    with pytest.raises(OutOfRange, match="one survey is one pit"):
        read(SMALL.replace("[valve.new]", many + "[valve.new]"))


@given(st.floats(-180.0, 180.0), st.sampled_from(["school-garden", "chapel-lawn", "allotment"]))
@settings(max_examples=20)
def test_a_turned_pit_is_the_same_pit(degrees: float, name: str) -> None:
    """Distances, angles, room in the box and doubts are those of the pit, not of the axes."""
    survey = example(name)
    other = turned_in_plan(survey, degrees)
    for a, b in zip(survey.stubs, other.stubs, strict=True):
        assert norm(a.tip.mean) == pytest.approx(norm(b.tip.mean), abs=1e-12)
        assert a.tip.mean[2] == pytest.approx(b.tip.mean[2], abs=1e-12)
        assert survey.box.room(a.tip.mean) == pytest.approx(other.box.room(b.tip.mean), abs=1e-12)
        trace = [sum(c.covariance[i][i] for i in range(3)) for c in (a.tip, b.tip)]
        assert trace[0] == pytest.approx(trace[1])
    for zone in survey.zones:
        pairs = [(s.stub(zone.inlet), s.stub(zone.outlet)) for s in (survey, other)]
        turns = [angle_between(i.outward, o.outward) for i, o in pairs]
        assert turns[0] == pytest.approx(turns[1], abs=1e-9)
    back = turned_in_plan(other, -degrees)
    for a, b in zip(survey.stubs, back.stubs, strict=True):
        assert b.outward == pytest.approx(a.outward, abs=1e-12)


SNIPPETS = [
    "", "\n", "[", "]", "[[", '"', "'", '"""', "=", ",", "{", "}", "#", "\\", "\0", ".", "\r", "\t",
    "0", "-1", "9" * 400, "1e999", "nan", "inf", "0x" + "f" * 300, "true", "1979-05-27",
    '"4 3/8 +- 0"', '"4-5 in"', '"99999 ft"', '"4 psi"', "[1, 2, 3]", "[]", "{}", "{ a = 1 }",
    '"from corner A, 1 right"', '"downstream"', '"unknown"', "🪠", "\u2028", "\ufeff", "½",
    "x" * 700, '"a\\nb" = 1\n',
    "[stub.x]\n", "[[stub]]\n", "[zone]\n", "stub.y.tip = 1\n", "[points]\nA = 4\n",
    "tip", "side",
]  # fmt: skip


@given(st.sampled_from(TEXTS), st.integers(0, 2**32), st.integers(1, 4), st.data())
@settings(max_examples=250)
def test_any_spoilt_survey_is_a_survey_or_one_mistake(
    text: str, seed: int, times: int, data: st.DataObject
) -> None:
    """Random cuts, swaps and insertions: never another exception, never two lines of message."""
    dice = random.Random(seed)
    for _ in range(times):
        start = dice.randrange(len(text))
        end = min(len(text), start + dice.choice([0, 0, 1, 1, 3, 10, 60]))
        text = text[:start] + data.draw(st.sampled_from(SNIPPETS)) + text[end:]
    check_told(text)


@given(st.sampled_from(TEXTS), st.integers(0, 2**32), st.sampled_from(SNIPPETS))
@settings(max_examples=250)
def test_any_spoilt_value_is_a_survey_or_one_mistake(text: str, seed: int, value: str) -> None:
    """One value of the file in the place of which anything at all stands."""
    lines = text.splitlines()
    places = [i for i, line in enumerate(lines) if re.match(r"[\w\"-]+ = ", line)]
    i = random.Random(seed).choice(places)
    lines[i] = f"{lines[i].partition(' = ')[0]} = {value}"
    check_told("\n".join(lines))


@given(st.sampled_from(TEXTS), st.integers(0, 2**32))
@settings(max_examples=100)
def test_any_missing_line_is_a_survey_or_one_mistake(text: str, seed: int) -> None:
    lines = text.splitlines()
    del lines[random.Random(seed).randrange(len(lines))]
    check_told("\n".join(lines))


def check_told(text: str) -> None:
    """Read it; a mistake must have its file, a line that exists, a hint, and one line of text."""
    try:
        got = read_survey(text, "pit.toml", load_shelf())
    except BadInput as mistake:
        said = str(mistake)
        assert said.startswith("pit.toml:")
        assert "\n" not in said
        assert len(said) < 600
        assert mistake.hint
        assert mistake.line is None or 1 <= mistake.line <= text.count("\n") + 1
    else:
        assert got.stubs


def test_the_changed_survey_of_these_tests_is_the_small_one() -> None:
    assert read(changed("")).stubs == small().stubs
