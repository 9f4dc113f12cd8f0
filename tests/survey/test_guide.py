"""docs/survey-file.md is held to the readers: every block reads, every key is explained."""

from __future__ import annotations

import re
import tomllib
from importlib.resources import files

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.survey.checks import readings_within
from pitwright.survey.conditions import CEMENTS
from pitwright.survey.existing import FATES, KINDS_OF_EXISTING
from pitwright.survey.keys import KEYS
from pitwright.survey.obstacles import KINDS_OF_OBSTACLE
from pitwright.survey.pit import UNITS, read_survey
from pitwright.survey.readings import default_tools
from pitwright.survey.stubs import CONDITIONS
from pitwright.survey.water import SOURCES
from pitwright.survey.zones import KINDS_OF_HEAD
from tests.survey.pits import GUIDE, blocks, read, small

TEXT = GUIDE.read_text(encoding="utf-8")
HEADS = {
    "pit": "[pit]", "box": "[box]", "stub": "[stub.NAME]", "zone": "[zone.NAME]",
    "valve": "[valve.NAME]", "header": "[header]", "existing": "[existing.NAME]",
    "obstacle": "[obstacle.NAME]",
    "part": "[part.NAME]", "conditions": "[conditions]", "water": "[water]",
    "preferences": "[preferences]", "points": "[points]", "tools": "[tools]",
}  # fmt: skip


def section(name: str) -> str:
    """The guide's section on one section of the file."""
    found = re.search(rf"(?ms)^## {re.escape(HEADS[name])}\s*$.*?(?=^## |\Z)", TEXT)
    assert found, name
    return found[0]


@pytest.mark.parametrize("block", blocks(), ids=lambda b: b.splitlines()[0])
def test_every_block_of_the_guide_is_read(block: str) -> None:
    """The first is a survey; each other takes the place of the first one's sections."""
    survey = read(block) if block.startswith("[pit]") else small(block)
    assert len(survey.stubs) == 2 + (survey.header is not None)


@pytest.mark.parametrize("shape", [s for s in KEYS if s])
def test_every_key_the_readers_know_is_explained_and_shown(shape: str) -> None:
    """In backticks in its own section of the guide, and in one of its blocks."""
    home = section(shape.split(".")[0])
    prose = re.sub(r"(?ms)^```.*?^```", "", home)
    shown = "\n".join(blocks())
    for key in KEYS[shape]:
        assert f"`{key}`" in prose, key
        assert (
            re.search(rf"\b{key} = ", shown) or key in ("datum", "opened") or key in (KEYS["pit"])
        ), key


@pytest.mark.parametrize("name", KEYS[""])
def test_every_section_the_readers_know_has_its_heading(name: str) -> None:
    assert section(name)


def test_no_key_is_explained_that_nobody_reads() -> None:
    for name in HEADS:
        rows = re.findall(r"(?m)^\| `([a-z_0-9]+)`", section(name))
        known = set(KEYS.get(name, ())) | set(KEYS.get(f"{name}.*", ()))
        assert set(rows) <= known, name


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("pit", UNITS), ("stub", CONDITIONS), ("existing", FATES), ("existing", KINDS_OF_EXISTING),
        ("obstacle", KINDS_OF_OBSTACLE), ("zone", KINDS_OF_HEAD), ("conditions", CEMENTS),
        ("water", SOURCES),
    ],
)  # fmt: skip
def test_every_word_that_may_be_chosen_is_listed(name: str, words: tuple[str, ...]) -> None:
    assert [w for w in words if f"`{w}`" not in section(name)] == []


def test_every_tool_is_listed_with_its_sigma() -> None:
    listed = dict(re.findall(r"(?m)^\| `([a-z ]+)`(?:, `[a-z ]+`)* \| ([^|]+?) \|", TEXT))
    missing = [t for t in default_tools() if f"`{t}`" not in TEXT]
    assert missing == []
    assert {k: listed[k] for k in ("tape", "string", "calliper", "eye", "protractor")} == {
        "tape": "1/16 in",
        "string": "1/32 in, on the circumference",
        "calliper": "0.005 in",
        "eye": "2 deg",
        "protractor": "0.5 deg",
    }


def template() -> str:
    home = files("pitwright.survey").joinpath("data/template.pit.toml")
    return home.read_text(encoding="utf-8")


def test_the_template_reads_as_it_stands() -> None:
    survey = read_survey(template(), "new.pit.toml", load_shelf())
    assert [z.valve for z in survey.zones] == ["new"]
    assert len(list(readings_within(survey))) > 20


def test_every_line_the_template_leaves_out_reads_when_it_is_let_in() -> None:
    """Each commented key or section is good as it is: the mark taken away, it still reads."""
    text = re.sub(r"(?m)^# (?=\[|\"?[\w ]+\"? = )", "", template())
    assert text.count("\n# ") < template().count("\n# ")
    survey = read_survey(text, "new.pit.toml", load_shelf())
    assert survey.obstacles
    assert survey.points
    assert survey.conditions
    assert survey.stub(survey.zones[0].inlet).through
    assert tomllib.loads(text)["box"]["soil"]
