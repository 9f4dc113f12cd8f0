"""The carry file as text: one file, nothing that asks, nothing typed that runs."""

from __future__ import annotations

import base64
import hashlib
import html
import re
from dataclasses import replace
from functools import cache

import pytest

from pitwright.carry.content import Base, Carried
from pitwright.carry.page import carry_page
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.carry import _wiring
from pitwright.pages.doing import doings
from pitwright.planning import plan
from pitwright.resuming import begun_at
from pitwright.survey.pit import read_survey
from pitwright.wording.cautions import cautions
from pitwright.wording.clocks import water_after
from pitwright.wording.steps import step_words
from tests.carry.stepped import stepped
from tests.house.reading import ROOT

EXAMPLES = ROOT / "examples"
NASTY = '</script><script>alert(1)</script><img src="http://x.test/a" onerror=alert(2)>'


@cache
def carried(name: str = "chapel-lawn", harness: str = "") -> Carried:
    text = (EXAMPLES / f"{name}.pit.toml").read_text("utf-8")
    wiring = _wiring("h", (EXAMPLES / harness).read_bytes()) if harness else None
    made = plan(read_survey(text, name, load_shelf()))
    return Carried(made, Base(), "2026-05-04 09:00", "pitwright 0", wiring, (NASTY,))


def test_a_page_with_wiring_stays_far_under_a_megabyte() -> None:
    page = carry_page(carried("chapel-lawn", "chapel-lawn.harness.toml"))
    assert len(page.encode()) < 300_000


def test_the_largest_example_stays_under_a_megabyte() -> None:
    assert len(carry_page(carried("school-garden")).encode()) < 500_000


def test_the_policy_names_every_script_and_style_and_nothing_else() -> None:
    page = carry_page(carried())
    policy = html.unescape(re.findall(r'Content-Security-Policy" content="([^"]*)"', page)[0])
    for tag in ("script", "style"):
        texts = re.findall(rf"(?s)<{tag}>(.*?)</{tag}>", page)
        hashes = [
            f"'sha256-{base64.b64encode(hashlib.sha256(t.encode()).digest()).decode()}'"
            for t in texts
        ]
        assert texts
        assert re.findall(rf"{tag}-src ([^;]*)", policy) == [" ".join(hashes)]
    assert policy.startswith("default-src 'none';")
    assert "unsafe" not in policy and "http" not in policy


def test_nothing_in_it_points_outside() -> None:
    page = carry_page(carried())
    links = re.findall(r'(?:href|src|action)="([^"]*)"', page)
    assert [link for link in links if not link.startswith(("#", "data:,"))] == []


def test_what_was_typed_cannot_run() -> None:
    page = carry_page(carried())
    assert html.escape(NASTY) in page
    assert "<img" not in page and "alert(1)</script>" not in page


def test_it_says_what_the_plan_says() -> None:
    page = html.unescape(re.sub(r"<[^>]*>", " ", carry_page(carried())))
    option = carried().plan.zones[0].best
    assert option is not None
    assert "Made 2026-05-04 09:00" in page
    for piece in option.cuts.pieces:
        assert f"As cut, lawn {piece.letter}" in page
    for caution in cautions():
        assert caution.words in page


def test_a_refused_zone_says_why() -> None:
    page = html.unescape(carry_page(carried("school-garden")))
    assert "Refused: nothing on the shelf closes it." in page


def test_the_harness_is_there_with_its_chances() -> None:
    page = carry_page(carried("chapel-lawn", "chapel-lawn.harness.toml"))
    assert "Where the fault may be" in page
    assert re.search(r"<td[^>]*>\d+ %</td>", page)


@pytest.mark.parametrize("word", ["fetch(", "XMLHttp", "import(", "eval(", "innerHTML", "http"])
def test_its_script_asks_nobody(word: str) -> None:
    assert word not in (ROOT / "src/pitwright/carry/assets/carry.js").read_text("utf-8")


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert carry_page(carried()) == carry_page(carried())


def test_steps_are_there_to_be_ticked_and_name_the_joints_they_make() -> None:
    """With a train that is put in: every joint is made by one step, in the words of the sheet."""
    carries, assembly = stepped()
    page = html.unescape(carry_page(carries))
    ticks = re.findall(
        r'data-form="step" data-step="([^"]*)" data-zone="lawn" data-label="([^"]*)"', page
    )
    zone = carries.plan.zones[0]
    assert zone.best is not None
    assert isinstance(zone.answer, tuple)
    stage = begun_at(carries.plan.survey, zone.zone, zone.answer, zone.best)
    assert [tick for tick, _ in ticks] == [d.name for d in doings(stage)]  # as in the app
    joints = sorted(int(j.removeprefix("lawn ")) for _, s in ticks for j in s.split("|") if j)
    assert joints == list(range(1, len(joints) + 1))
    for step in assembly.steps:
        assert step_words(step) in page
    assert "Other ways, side by side (2)" in page
    assert 'data-form="joint" data-label' not in page


def test_each_cemented_step_brings_its_clocks_and_the_zone_its_water() -> None:
    carries, assembly = stepped()
    page = html.unescape(carry_page(carries))
    found = re.findall(r'data-hold="(\d+)" data-set="(\d+)" data-cure="(\d+)"', page)
    glued = [s.waits for s in assembly.steps if s.waits.hold]
    assert [tuple(map(int, f)) for f in found] == [
        (round(w.hold), round(w.set), round(w.cure)) for w in glued
    ]
    assert len(glued) > 1 and all(w.hold < w.set < w.cure for w in glued)
    assert water_after(max(w.cure for w in glued)) in page


def test_the_title_says_whose_pit_it_is() -> None:
    page = carry_page(replace(carried(), land="Chapel <hill>"))
    named = f"Chapel &lt;hill&gt;: {carried().plan.survey.name}"
    assert f"<h1>{named}</h1>" in page and f"{named}</title>" in page
