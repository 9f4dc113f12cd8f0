"""Choose: what is shown of a way, and that it is what the plan has."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from pitwright.pages.choose import option_picture
from pitwright.paper.turning import plan_turning
from pitwright.planning import Plan, plan
from pitwright.survey.pit import read_survey
from tests.pages.standings import asked, example, pit_of, shelf


@cache
def planned() -> Plan:
    return plan(read_survey(example("chapel-lawn"), "chapel", shelf()))


def test_clearances_are_said_in_words_as_the_carry_file_says_them() -> None:
    zone = planned().zones[0]
    assert zone.best is not None
    pit = pit_of(example("chapel-lawn"), (), planned())
    shown = replace(asked(), query={"show": "clear"})
    page = option_picture(pit, shown, zone, zone.best, "/x")
    words = [c["words"] for c in plan_turning(planned())["clear"] if c["zone"] == zone.zone.id]
    assert len(words) > 2
    places = [page.index(line) for line in words]
    assert places == sorted(places)
    plain = option_picture(pit, asked(), zone, zone.best, "/x")
    assert words[0] not in plain
