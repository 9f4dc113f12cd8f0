"""What a survey leaves in doubt."""

from __future__ import annotations

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Finding, Weight
from pitwright.survey.checks import readings_within
from pitwright.survey.pit import Survey, load_survey
from tests.survey.pits import EXAMPLES, SMALL, read, small, swapped


def codes(survey: Survey) -> list[str]:
    return [f.code for f in survey.findings]


def only(survey: Survey, code: str) -> Finding:
    (found,) = [f for f in survey.findings if f.code == code]
    return found


def test_the_small_survey_leaves_its_known_doubts() -> None:
    assert codes(small()) == [
        "direction-by-eye", "brittle-thin-wall", "made-up-not-measured", "nothing-checks",
    ]  # fmt: skip
    unchecked = only(small(), "nothing-checks")
    assert unchecked.name("readings") == "stub.feed.tip, stub.lawn.tip, valve.new.body"
    assert unchecked.number("count") == 3


def test_a_protractor_or_a_second_point_takes_the_doubt_away() -> None:
    assert "direction-by-eye" not in codes(read(swapped('1 deg up"', '1 deg up, by protractor"')))


def test_cracked_and_chalky_pipe_stop_the_work() -> None:
    for word in ("cracked", "chalky"):
        found = only(read(swapped('"sound"', f'"{word}"')), f"pipe-{word}")
        assert found.weight is Weight.STOP
        assert found.name("stub") == "feed"


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
    assert len({r.id for r in readings}) == len(readings) > 25
    for reading in readings:
        assert reading.text in survey.text
        assert reading.sigma.one > 0.0
