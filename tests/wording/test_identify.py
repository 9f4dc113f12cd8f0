"""Every code that can be found has its sentence."""

from __future__ import annotations

import re
from pathlib import Path

import pitwright.catalogue.identify.hazards as hazards
from pitwright.catalogue.identify.question import TROUBLE
from pitwright.catalogue.shelf import load_shelf
from pitwright.wording.identify import HAZARDS, MATERIAL, QUESTIONS, SYSTEM


def test_every_hazard_and_question_has_words() -> None:
    codes = set(re.findall(r'finding\(\s*"([a-z-]+)"', Path(hazards.__file__).read_text("utf-8")))
    assert codes == HAZARDS.keys()
    assert QUESTIONS.keys() == TROUBLE.keys()


def test_every_system_and_material_on_the_shelf_has_words() -> None:
    assert {p.system for p in load_shelf().pipes} <= SYSTEM.keys()
    assert {p.material for p in load_shelf().pipes} <= MATERIAL.keys()
