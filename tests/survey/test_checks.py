"""What a survey leaves in doubt."""

from __future__ import annotations

import math

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Finding, Weight
from pitwright.survey.checks import outside_diameter, readings_within
from pitwright.survey.pit import Survey, load_survey
from pitwright.units.kinds import INCH
from tests.survey.pits import EXAMPLES, SMALL, read, small, swapped


def codes(survey: Survey) -> list[str]:
    return [f.code for f in survey.findings]


def only(survey: Survey, code: str) -> Finding:
    (found,) = [f for f in survey.findings if f.code == code]
    return found


def test_the_small_survey_leaves_its_known_doubts() -> None:
    assert codes(small()) == [
        "direction-by-eye", "nothing-checks", "nothing-checks", "made-up-not-measured",
        "nothing-checks",
    ]  # fmt: skip
    assert [f.name("reading") for f in small().findings if f.code == "nothing-checks"] == [
        "stub.feed.tip", "stub.lawn.tip", "valve.new.body",
    ]  # fmt: skip


def test_a_protractor_or_a_second_point_takes_the_doubt_away() -> None:
    assert "direction-by-eye" not in codes(read(swapped('1 deg up"', '1 deg up, by protractor"')))


def test_cracked_and_chalky_pipe_stop_the_work() -> None:
    for word in ("cracked", "chalky"):
        found = only(read(swapped('"sound"', f'"{word}"')), f"pipe-{word}")
        assert found.weight is Weight.STOP
        assert found.name("stub") == "feed"


def test_a_pipe_that_measures_otherwise_than_its_name_is_told() -> None:
    """1 in iron pipe size is 1.315; a calliper that reads 1.125 has copper-tube size before it."""
    line = 'cut_back = "1"\n'
    for inches, told in (("1.315", False), ("1.31", False), ("1.125", True), ("1.66", True)):
        text = swapped(line, f'{line}measured = {{ calliper = "{inches}" }}\n')
        assert ("pipe-measures-otherwise" in codes(read(text))) is told


def test_a_string_is_as_long_as_its_own_middle() -> None:
    """Field report F3 of the design study: 2.75 in around is an outside diameter of 0.875."""
    text = swapped('cut_back = "1"\n', 'cut_back = "1"\nmeasured = { around = "2.75" }\n')
    measured = read(text).stubs[0].measured
    assert measured is not None
    got = outside_diameter(measured)
    assert got is not None
    assert got[0] / INCH == pytest.approx(0.8754, abs=5e-5)
    assert got[1] / INCH == pytest.approx(1 / 32 / math.pi)

    thick = text.replace('"2.75"', '"2.75", string = "1/16"')
    measured = read(thick).stubs[0].measured
    assert measured is not None
    assert outside_diameter(measured) == pytest.approx(
        (got[0] - INCH / 16, math.hypot(got[1], 0.005 * INCH))
    )


SPARE_VALVE = '[valve.spare]\nbody = 4\nends = "socket"\nsize = "1"\n'
SPARE_STUB = """[stub.spare]
side = "inlet"
tip = [4, 2, 0]
faces = "up"
pipe = "pvc40-1"
cut_back = 0
"""


def test_what_serves_nothing_is_noted() -> None:
    survey = read(swapped('valve = "new"\n', "") + SPARE_VALVE)
    assert codes(survey).count("valve-not-asked-for") == 2
    assert only(survey, "zone-asks-for-nothing").weight is Weight.NOTE
    spare = read(SMALL + SPARE_STUB)
    assert only(spare, "stub-serves-no-zone").name("stub") == "spare"
    assert only(spare, "bare-path-not-given").name("stub") == "spare"


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.pit.toml")), ids=lambda p: p.name)
def test_every_reading_is_found_once_and_its_text_stands_in_the_file(path: object) -> None:
    survey = load_survey(str(path), load_shelf())
    readings = list(readings_within(survey))
    assert len({r.id for r in readings}) == len(readings) > 30
    for reading in readings:
        assert reading.text in survey.text
        assert reading.sigma.one > 0.0
