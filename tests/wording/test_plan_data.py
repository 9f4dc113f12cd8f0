"""The document for machines: every key is on its page, every key of the page is in a document."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.planning import plan
from pitwright.survey.pit import load_survey
from pitwright.units.kinds import INCH
from pitwright.wording.plan_data import SCHEMA, plan_data

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.pit.toml"))
OPEN = {"numbers", "names"}
"""Whose own keys differ from finding to finding."""


@cache
def document(path: Path) -> dict[str, Any]:
    got: dict[str, Any] = json.loads(
        json.dumps(plan_data(plan(load_survey(path, load_shelf())), "0"), allow_nan=False)
    )
    return got


def keys(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            if key not in OPEN:
                yield from keys(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys(inner)


def page() -> str:
    text = (ROOT / "docs" / "json.md").read_text(encoding="utf-8")
    found = re.search(rf"(?ms)^## {SCHEMA}\n(.*?)(?=^## |\Z)", text)
    assert found is not None
    return found[1]


def test_every_key_of_a_real_document_is_on_its_page() -> None:
    told = set(re.findall(r"`([A-Za-z_]+)(?:\[\])?`", page()))
    used = {key for path in EXAMPLES for key in keys(document(path))}
    assert used - told == set()


def test_every_key_on_the_page_is_in_a_real_document() -> None:
    told = set(re.findall(r"`([A-Za-z_]+)(?:\[\])?`", page())) - {"null", "false", "true"}
    used = {key for path in EXAMPLES for key in keys(document(path))}
    assert told - used - {"more_bare_m"} == set(), "no example asks for digging yet"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda p: p.name)
def test_numbers_and_texts_name_one_cut(path: Path) -> None:
    for zone in document(path)["zones"]:
        for option in zone["options"]:
            for item in option["items"]:
                if item["kind"] == "piece":
                    whole, fraction = re.match(
                        r"(?:(\d+) ?)?(\d+/\d+)? ?in \(", item["length_text"]
                    ).groups()  # type: ignore[union-attr]
                    a, _, b = (fraction or "0/1").partition("/")
                    inches = int(whole or 0) + int(a) / int(b)
                    assert item["length_m"] == pytest.approx(inches * INCH, abs=1e-9)


def test_every_unmeasured_part_in_a_cut_is_asked_for_and_its_plan_is_not_proved() -> None:
    asked = 0
    for path in EXAMPLES:
        for option in (o for z in document(path)["zones"] for o in z["options"]):
            rests_on = {p for i in option["items"] for p in i.get("rests_on", ())}
            told = {f["names"]["part"] for f in option["findings"] if f["code"] == "measure_part"}
            asked += len(told)
            shelf = load_survey(path, load_shelf()).shelf
            parts = [f for f in shelf.fittings if f.id in rests_on]
            assert told == {f.name for f in parts if not f.measured}
            assert option["proved"] is (not told and option["checked"]["closes_within_flex"])
            assert all(i["within_m"] > 0.0 for i in option["items"] if i.get("rests_on"))
    assert asked


def test_a_zone_is_either_planned_or_refused() -> None:
    for zone in (z for path in EXAMPLES for z in document(path)["zones"]):
        assert bool(zone["options"]) != bool(zone["refused"])
