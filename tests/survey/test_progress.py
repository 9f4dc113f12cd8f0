"""Reading how far the work is."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from pitwright.survey.progress import NOTHING_DONE, Progress, read_progress
from pitwright.survey.stubs import Stub
from pitwright.units.kinds import INCH
from tests.survey.pits import small

SURVEY = small()
ZONE = next(str(z.id) for z in SURVEY.zones if z.planned)
STUB: Stub = SURVEY.stub(SURVEY.zone(SURVEY.zones[0].id).outlet)


def progress(text: str) -> Progress:
    return read_progress(text, "p.toml", SURVEY)


def test_an_empty_file_says_that_nothing_is_done() -> None:
    assert progress("") == NOTHING_DONE
    assert progress("# nothing yet\n") == Progress()


def test_joints_cuts_and_marks_are_read() -> None:
    got = progress(
        f"[zone.{ZONE}]\noption = 2\njoints = [3, 1, 3]\n"
        'cut = { a = "4 3/8", inlet = "1/2" }\nmarked = { B = "35 mm" }\n'
    ).zones[0]
    assert (got.option, got.joints) == (2, (1, 3))
    assert {k: round(v.value / INCH, 4) for k, v in got.cut} == {"A": 4.375, "inlet": 0.5}
    assert got.marked[0][0] == "B"
    assert got.marked[0][1].value == pytest.approx(0.035)


def test_a_stub_measured_again_keeps_what_was_not() -> None:
    again = progress(f'[stub.{STUB.id}]\nfaces = "upstream"\n').again[0]
    assert again.turned
    assert again.stub.tip == STUB.tip
    assert again.stub.pipe == STUB.pipe


def test_what_is_given_later_counts() -> None:
    first = progress(f'[zone.{ZONE}]\njoints = [1]\ncut = {{ A = "4" }}\n')
    both = first.with_more(progress(f'[zone.{ZONE}]\njoints = [2]\ncut = {{ A = "5" }}\n'))
    assert both.zones[0].joints == (1, 2)
    assert both.zones[0].cut[0][1].value == pytest.approx(5 * INCH)


def test_an_option_is_named_and_stays_when_what_comes_later_names_none() -> None:
    first = progress(f'[zone.{ZONE}]\noption = "cut in:  90-90"\n')
    assert first.zones[0].option == "cut in: 90-90"
    both = first.with_more(progress(f"[zone.{ZONE}]\njoints = [2]\n"))
    assert both.zones[0].option == "cut in: 90-90"
    assert both.with_more(progress(f"[zone.{ZONE}]\noption = 2\n")).zones[0].option == 2


@pytest.mark.parametrize(
    ("text", "match"),
    [
        ("[zones.x]\n", "zones"),
        ("[zone.nowhere]\njoints = [1]\n", r"zone\.nowhere"),
        (f"[zone.{ZONE}]\njoint = [1]\n", "joint"),
        (f'[zone.{ZONE}]\njoints = ["1"]\n', "must be a joint's number"),
        (f"[zone.{ZONE}]\njoints = [0]\n", "must be 1 to"),
        (f"[zone.{ZONE}]\noption = 1.5\n", "must be an option's name or its number"),
        (f"[zone.{ZONE}]\njoints = 3\n", "must be a list"),
        (f'[zone.{ZONE}]\noption = "1"\n', "must be an option's name or its number"),
        (f'[zone.{ZONE}]\ncut = {{ A = "4 psi" }}\n', "unit of length"),
        ("[stub.nowhere]\n", r"stub\.nowhere"),
        (f"[stub.{STUB.id}]\npipe = '1 in schedule 40 PVC'\n", "pipe"),
        (f"[stub.{STUB.id}]\nbroken = 'cracked'\n", "measure the middle of the new open end"),
        (f"[stub.{STUB.id}]\nbroken = 3\n", "must say what broke"),
        ("zone = 3\n", "must be a table"),
        ("not toml", "must be TOML"),
    ],
)
def test_mistakes_are_told_with_their_place(text: str, match: str) -> None:
    with pytest.raises(BadInput, match=match) as told:
        progress(text)
    assert "p.toml" in str(told.value)
