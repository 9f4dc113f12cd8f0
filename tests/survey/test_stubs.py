"""Stubs: tip, direction, pipe, cut-back and the bare path behind."""

from __future__ import annotations

import math

import pytest

from pitwright.catalogue.parts import JointKind
from pitwright.errors import BadInput, Contradiction, Malformed, Missing, OutOfRange, UnknownName
from pitwright.geometry.vector import angle_between, minus
from pitwright.survey.stubs import Side, Stub
from pitwright.units.kinds import INCH
from tests.survey.pits import small

STUB = """[stub.lawn]
side = "outlet"
tip = ["1/2", "14", "-1/4"]
faces = "upstream, 2 deg left, 1 deg up"
pipe = "1 in SDR 21 PVC"
cut_back = "4"
bare = ["10", "18 down, 3 deg right", "4 ft left"]
condition = "old"
"""


def stub(text: str = STUB) -> Stub:
    return next(s for s in small(text).stubs if s.id == "lawn")


def with_line(line: str, old: str = "", text: str = STUB) -> Stub:
    """The stub with a line more, or one in the place of the line that begins with ``old``."""
    lines = text.splitlines()
    if old:
        assert any(x.startswith(old) for x in lines)
        lines = [x for x in lines if not x.startswith(old)]
    return stub("\n".join([*lines, line, ""]))


def test_a_stub_is_read_whole() -> None:
    got = stub()
    assert got.side is Side.OUTLET
    assert [c / INCH for c in got.tip.mean] == pytest.approx([0.5, 14, -0.25])
    assert got.tip.covariance[1][1] == pytest.approx((INCH / 16) ** 2)
    assert got.outward[1] < -0.99
    assert got.pipe is not None
    assert got.pipe.id == "pvc-sdr21-1"
    assert got.end is JointKind.PIPE
    assert got.cut_back / INCH == pytest.approx(4)
    assert got.seeps is None
    assert got.condition == "old"


def test_the_bare_path_runs_from_the_tip_into_the_soil() -> None:
    first, second, third = stub().bare
    assert first.direction == minus(stub().outward)
    assert [s.length / INCH for s in (first, second, third)] == pytest.approx([10, 18, 48])
    assert math.degrees(angle_between(second.direction, (0, 0, -1))) == pytest.approx(3)
    assert third.direction == (-1.0, 0.0, 0.0)


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("pipe", JointKind.PIPE),
        ("socket", JointKind.SOCKET),
        ("Male  Thread", JointKind.MALE_THREAD),
        ("female thread", JointKind.FEMALE_THREAD),
    ],
)
def test_an_end_is_one_of_four(word: str, kind: JointKind) -> None:
    assert with_line(f'end = "{word}"').end is kind


def test_the_surer_of_words_and_second_point_is_used_and_the_other_checks_it() -> None:
    got = with_line('through = ["0", "26", "-7/16"]')
    assert math.degrees(got.outward_sigma) == pytest.approx(0.42, abs=0.01)
    assert [f.code for f in got.findings] == ["brittle-thin-wall"]

    by_gauge = STUB.replace('1 deg up"', '1 deg up, by protractor"')
    near = with_line('through = ["3/8", "20", "-1/4"]', text=by_gauge)
    assert math.degrees(near.outward_sigma) == pytest.approx(0.5)

    wrong = with_line('through = ["-3", "24", "-1/4"]')
    assert [f.code for f in wrong.findings] == ["directions-disagree", "brittle-thin-wall"]
    apart = wrong.findings[0].number("apart")
    assert math.degrees(apart) == pytest.approx(21.3, abs=0.1)


def test_a_second_point_on_the_wrong_side_is_told() -> None:
    with pytest.raises(Contradiction, match=r"stub\.lawn\.through must lie on the pipe behind"):
        with_line('through = ["1/2", "2", "0"]')


def test_an_unknown_pipe_needs_a_measurement() -> None:
    got = with_line(
        'pipe = "unknown"\nmeasured = { around = "4 1/8", string = "1/32" }',
        "pipe",
    )
    assert got.pipe is None
    assert got.measured is not None
    assert got.measured.around is not None
    assert got.measured.around.sigma.one == pytest.approx(INCH / 32)
    assert "pvc40-1" in [c.pipe.id for c in got.candidates]
    for also in ("", 'measured = { colour = "white" }', 'measured = { wall = "1/8" }'):
        with pytest.raises(Missing, match=r"stub\.lawn\.measured is missing: an unknown pipe"):
            with_line(f'pipe = "Unknown"\n{also}', "pipe")


def test_a_crack_keeps_its_word_and_a_missing_condition_is_taken_as_old() -> None:
    assert with_line('condition = "sun-struck"', "condition").condition == "sun-struck"
    got = with_line("", "condition")
    assert got.condition == "old"
    assert [f.code for f in got.findings] == ["brittle-thin-wall", "condition-not-given"]


def test_a_seep_is_a_flow() -> None:
    got = with_line('seeps = "380 mL/min"')
    assert got.seeps == pytest.approx(380e-6 / 60)
    assert with_line('seeps = "0"').seeps == 0.0


@pytest.mark.parametrize(
    ("old", "new", "kind", "match"),
    [
        ("tip", "", Missing, r"^pit\.toml:1: stub\.lawn\.tip is missing: measure the middle"),
        ("side", "", Missing, r"stub\.lawn\.side is missing: write one of: inlet, outlet"),
        ("side", 'side = "upside"', UnknownName, r"did you mean (inlet|outlet)|known word here"),
        ("faces", "", Missing, "which way its open end faces, or measure a second point"),
        ("faces", "faces = 4", Malformed, "words or three numbers"),
        ("faces", "faces = [0, 0, 0]", OutOfRange, "a zero direction faces nowhere"),
        ("pipe", "", Missing, r"stub\.lawn\.pipe is missing: name it"),
        ("pipe", "pipe = 1", Malformed, "name of a pipe in quotes"),
        ("pipe", 'pipe = "1 in SDR 12 PVC"', UnknownName, r"is not a known pipe .*1 in SDR 21 PVC"),
        ("cut_back", "", Missing, r"stub\.lawn\.cut_back is missing: say how far"),
        ("cut_back", 'cut_back = "-1"', OutOfRange, r"must be 0 in to 400 in \(got \"-1\"\)"),
        ("cut_back", 'cut_back = "11"', Contradiction, "must not pass the first bare straight"),
        ("cut_back", 'cut_back = "4 psi"', BadInput, "unit of length"),
        ("bare", 'bare = "10"', Malformed, "must be a list of straights"),
        ("bare", 'bare = ["10", "18"]', Malformed, r"stub\.lawn\.bare\.1 must be a length and its"),
        ("bare", 'bare = ["10", "18 north"]', Malformed, r"stub\.lawn\.bare\.1"),
        ("bare", 'bare = ["10", "down"]', Malformed, r"stub\.lawn\.bare\.1"),
        ("bare", 'bare = ["10", 18]', Malformed, r"stub\.lawn\.bare\.1"),
        ("condition", 'condition = "fine"', UnknownName, "known word here"),
        ("tip", 'tip = ["1", "2"]', Malformed, "three lengths"),
        ("tip", "tip = 4", Malformed, "three lengths"),
        ("tip", 'tip = ["1/2", "14", "4 furlongs"]', BadInput, r"stub\.lawn\.tip\.2 must be in a"),
        ("note", "note = 4", Malformed, "must be text"),
        ("note", 'nte = "x"', UnknownName, r"stub\.lawn\.nte is not a known key here .*note"),
        ("note", 'end = "thread"', UnknownName, "male thread"),
        ("note", 'measured = { calliper = "9 ft" }', OutOfRange, r"lawn\.measured\.calliper must"),
        ("note", "measured = 4", Malformed, "must be a table"),
    ],
)  # fmt: skip
def test_a_stub_that_cannot_be_used_is_told(
    old: str, new: str, kind: type[BadInput], match: str
) -> None:
    with pytest.raises(kind, match=match):
        with_line(new, old, text=STUB + 'note = "x"\n')


def test_a_stub_proved_dry_keeps_its_seep_and_is_planned_as_dry() -> None:
    """The reading stays as it was typed; what is planned with does not run."""
    wet = with_line('seeps = "20 drips a minute"')
    dry = with_line('seeps = "20 drips a minute"\nproved_dry = true')
    assert wet.seeps == pytest.approx(20 / 3 * 1e-6 / 60)
    assert dry.seeps is None
    assert dry.seeps_reading is not None and dry.seeps_reading.text == "20 drips a minute"
    assert [f.code for f in dry.findings if "dry" in f.code] == ["seep-proved-dry"]
    assert [f.code for f in wet.findings if "dry" in f.code] == []
    assert wet.seeps_reading is not None and wet.seeps_reading.tool == "drips"
