"""Boxes and cylinders in the way: the search keeps clear of them, and the plan names them."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.geometry.solids import gap
from pitwright.renewal.cut_in import considered
from pitwright.survey.pit import Survey, read_survey
from pitwright.units.kinds import INCH

LAWN = Path(__file__).resolve().parents[2] / "examples" / "chapel-lawn.pit.toml"
TALL, FLAT = '["-3", "26", "-3"]', '["9", "20", "-3"]'


@cache
def lawn(shape: str, end: str, clear: str = "0", thick: str = "3") -> Survey:
    """The chapel lawn with one thing more in the way."""
    text = LAWN.read_text(encoding="utf-8")
    box = f'wide = "3"\nhigh = "{thick}"'
    size = box if shape == "box" else f'thick = "{thick}"'
    text += (
        f'\n[obstacle.slab]\nkind = "footing"\nshape = "{shape}"\nstart = ["-3", "20", "-3"]\n'
        f'end = {end}\n{size}\nclear = "{clear}"\n'
    )
    return read_survey(text, LAWN.name, load_shelf())


@pytest.mark.parametrize("shape", ["box", "cylinder"])
@pytest.mark.parametrize("clear", ["0", "1/2"])
def test_every_train_found_keeps_its_distance_from_the_thing(shape: str, clear: str) -> None:
    survey = lawn(shape, TALL, clear)
    answer = considered(survey, survey.zones[0], 2).answer
    assert not isinstance(answer, Refusal)
    slab = next(o for o in survey.obstacles if o.name == "slab")
    for option in answer:
        for solid in option.solids:
            assert gap(solid, slab.solid(0.0)) >= slab.clear - 2e-6


@pytest.mark.parametrize("shape", ["box", "cylinder"])
def test_what_stands_across_the_only_way_is_named_with_how_far_it_reaches_in(shape: str) -> None:
    survey = lawn(shape, FLAT, thick="7")
    answer = considered(survey, survey.zones[0], 2).answer
    shorts = answer.because if isinstance(answer, Refusal) else ()
    shorts = shorts or considered(survey, survey.zones[0], 2).passed_over
    struck = [s for s in shorts if s.code == "OBSTACLE" and s.where == "slab"]
    assert struck
    assert all(0.0 < s.missed < 20 * INCH for s in struck)
