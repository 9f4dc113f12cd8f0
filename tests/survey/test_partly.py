from __future__ import annotations

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import BadInput
from pitwright.survey.partly import read_partly
from pitwright.survey.pit import read_survey
from tests.house.reading import ROOT

WHOLE = (ROOT / "examples" / "chapel-lawn.pit.toml").read_text("utf-8")
SHELF = load_shelf()


def test_a_whole_survey_reads_as_it_always_does() -> None:
    partly = read_partly(WHOLE, "x", SHELF)
    assert partly.mistakes == ()
    assert partly.survey == read_survey(WHOLE, "x", SHELF)


def test_what_is_whole_is_read_beside_what_is_not() -> None:
    broken = WHOLE.replace('cut_back = "1"', 'cut_back = "one"', 1)
    partly = read_partly(broken, "x", SHELF)
    assert partly.survey is None
    assert [m.where for m in partly.mistakes] == ["stub.feed.cut_back"]
    assert [s.id for s in partly.stubs] == ["lawn"]
    assert partly.box is not None


def test_every_section_tells_its_own_mistake() -> None:
    text = (
        '[pit]\nname = "x"\nunit = "in"\n[box]\ngrade = "9"\n[stub.a]\nside = "inlet"\n[valve.v]\n'
    )
    wanted = {m.where for m in read_partly(text, "x", SHELF).mistakes}
    assert wanted == {"box.mouth", "stub.a.tip", "valve.v.body"}


def test_nothing_yet_is_no_mistake_but_no_survey() -> None:
    partly = read_partly("", "x", SHELF)
    assert partly.stubs == () and partly.survey is None


def test_what_is_no_toml_is_one_mistake() -> None:
    with pytest.raises(BadInput, match="TOML"):
        read_partly("[[[", "x", SHELF)
