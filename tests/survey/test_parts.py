"""Parts at hand."""

from __future__ import annotations

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import BadInput, Contradiction, Duplicate, Malformed, UnknownName
from pitwright.units.kinds import INCH
from tests.survey.pits import blocks, small

TELESCOPE = '[part.draw]\nkind = "telescoping coupling"\nsize = "1"\n'
PART = next(b for b in blocks() if b.startswith("[part"))


def test_a_part_is_read_whole() -> None:
    (part,) = small(PART).parts
    assert (part.kind, part.size, part.angle, part.count, part.where) == (
        "elbow", "1", 45.0, 4, "truck",
    )  # fmt: skip
    assert part.takeout is not None
    assert part.takeout.value / INCH == pytest.approx(15 / 32)
    assert part.takeout.given


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        ('kind = "elbow"', "", r"part\.elbow-45\.kind is missing"),
        ('size = "1"', "", r"part\.elbow-45\.size is missing"),
        ("angle = 45", "angle = 120", "must be 0.0 to 90.0"),
        ("count = 4", "count = -1", "must be 0 to 10000"),
        ('where = "truck"', 'where = "van"', "known word here"),
    ],
)
def test_a_part_that_cannot_be_is_told(old: str, new: str, match: str) -> None:
    with pytest.raises(BadInput, match=match):
        small(PART.replace(old, new, 1))


def test_a_measured_part_takes_the_place_of_the_typical_one_and_both_stay_visible() -> None:
    survey = small(PART)
    elbow = survey.shelf.fitting("elbow", "1", 45.0)
    typical = load_shelf().fitting("elbow", "1", 45.0)
    assert elbow is not None
    assert typical is not None
    for port, old in zip(elbow.ports, typical.ports, strict=True):
        assert port.takeout.measured
        assert port.takeout.value / INCH == pytest.approx(15 / 32)
        assert port.takeout.low / INCH == pytest.approx(15 / 32 - 1 / 64)
        assert port.takeout.replaced[0] == old.takeout
        assert port.depth.value / INCH == pytest.approx(33 / 32)
    assert survey.shelf.fitting("elbow", "1", 90.0) == load_shelf().fitting("elbow", "1", 90.0)


def test_parts_that_are_only_counted_change_nothing() -> None:
    lines = '[part.a]\nkind = "Coupling"\nsize = "1"\n[part.b]\nkind = "saddle"\nsize = "9"\n'
    survey = small(lines + '[part.c]\nkind = "elbow"\nsize = "1"\n')
    assert survey.shelf == load_shelf()
    assert [f.name("part") for f in survey.findings if f.code == "part-not-on-shelf"] == ["b"]


@pytest.mark.parametrize(
    ("text", "kind", "match"),
    [
        (PART.replace('size = "1"', 'size = "7"'), UnknownName, r"part\.elbow-45 .*1 elbow 45"),
        (PART + PART.replace("elbow-45", "b"), Duplicate, r'part\.b is measured at "elbow-45" too'),
        (
            PART.replace('"15/32 +- 1/64"', '"1/8"'),
            Contradiction,
            r'part\.elbow-45\.takeout must be a fit.* here 5/16 in \(.* \(got "1/8"\)',
        ),
        (
            PART.replace('"1 1/32"', '"3 mm"'),
            Contradiction,
            r'part\.elbow-45\.depth must be a fit.* here 7/8 in \(22 mm\) \(got "3 mm"\)',
        ),
        (
            TELESCOPE + 'collapsed = "2 1/4"\ndepth = "2 1/8"\n',
            Malformed,
            r'part\.draw\.depth must leave two grips .* \(got "2 1/8"\)',
        ),
        (
            TELESCOPE + 'collapsed = "0.9"\n',
            Malformed,
            r'part\.draw\.collapsed must leave two grips .* \(got "0.9"\)',
        ),
    ],
)
def test_a_measurement_that_cannot_be_is_told(text: str, kind: type[BadInput], match: str) -> None:
    with pytest.raises(kind, match=match):
        small(text)
