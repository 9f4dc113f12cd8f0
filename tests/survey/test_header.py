"""The section [header]: what it must name, and what is said where it does not."""

from __future__ import annotations

import pytest

from pitwright.errors import BadInput
from tests.survey.pits import blocks, small

BLOCK = next(b for b in blocks() if b.startswith("[header]"))


def test_it_names_its_feed_its_zones_and_what_goes() -> None:
    survey = small(BLOCK)
    assert survey.header is not None
    assert survey.header.feed == "supply"
    assert survey.header.zones == ("lawn",)
    assert survey.header.goes == ("old-header",)
    assert "stub-serves-no-zone" not in {f.code for f in survey.findings}


def test_without_a_size_it_has_the_feeds() -> None:
    survey = small(BLOCK.replace('size = "1-1/4"\nshut_off', "shut_off"))
    assert survey.header is not None
    assert survey.header.size == "1-1/4"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('feed = "supply"\n', "", "header.feed"),
        ('feed = "supply"', 'feed = "nowhere"', "header.feed"),
        ('feed = "supply"', 'feed = "feed"', 'must not be the inlet of zone "lawn"'),
        ('feed = "supply"', 'feed = "lawn"', "must be an inlet stub"),
        ('zones = ["lawn"]\n', "", "header.zones"),
        ('zones = ["lawn"]', 'zones = "lawn"', "must be a list of names"),
        ('zones = ["lawn"]', 'zones = ["lawn", "lawn"]', "must name each one once"),
        ('zones = ["lawn"]', 'zones = ["lane"]', "header.zones.0"),
        ('shut_off = "stop"', 'shut_off = "stopp"', "header.shut_off"),
        ('goes = ["old-header"]', 'goes = ["older"]', "header.goes.0"),
        ('goes = ["old-header"]', 'gone = ["old-header"]', "gone"),
    ],
)
def test_what_is_wrong_is_said_with_where_it_stands(old: str, new: str, said: str) -> None:
    assert old in BLOCK
    with pytest.raises(BadInput, match="(?s)" + said.replace(".", r"\.")):
        small(BLOCK.replace(old, new, 1))
