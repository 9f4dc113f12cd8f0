"""Soil that gives instead of clamping: said in the survey, used wherever old pipe bends."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.ends import FlexEnd
from pitwright.findings import Refusal, StubId
from pitwright.flex.compliance import tip_compliance
from pitwright.flex.soil import foundation
from pitwright.planning import plan
from pitwright.renewal.bending import flex_end
from pitwright.renewal.ground import ground
from pitwright.renewal.movable import movable
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.soil import CLAMP, SOILS, Soil
from pitwright.units.kinds import PSI
from pitwright.wording.plan import plan_text

LAWN = Path(__file__).resolve().parents[2] / "examples" / "chapel-lawn.pit.toml"
SAID = st.sampled_from(["loose sand", "stiff clay", "40 psi", "500 psi", "15000 psi"])


@cache
def lawn(soil: str = "", stub_soil: str = "") -> Survey:
    """The chapel lawn with a word on its soil."""
    text = LAWN.read_text(encoding="utf-8")
    if soil:
        text = text.replace("[conditions]\n", f'[conditions]\nsoil = "{soil}"\n')
    if stub_soil:
        text = text.replace("[stub.lawn]\n", f'[stub.lawn]\nsoil = "{stub_soil}"\n')
    return read_survey(text, LAWN.name, load_shelf())


def compliance(survey: Survey, stub: str, extra: float) -> NDArray[np.float64]:
    end = flex_end(survey, survey.stub(StubId(stub)), extra=extra)
    assert isinstance(end, FlexEnd)
    return np.array(tip_compliance(end.path))


@given(
    SAID,
    st.sampled_from(["feed", "lawn"]),
    st.floats(0.0, 1.0),
    st.tuples(*[st.floats(-1.0, 1.0)] * 6),
)
def test_a_stub_in_soil_that_gives_is_never_stiffer_than_a_clamped_one(
    soil: str, stub: str, extra: float, wrench: tuple[float, ...]
) -> None:
    """Whatever the push, and however much more is dug."""
    w = np.array(wrench)
    gives = w @ compliance(lawn(soil), stub, extra) @ w
    clamped = w @ compliance(lawn(), stub, extra) @ w
    assert gives >= clamped * (1.0 - 1e-12)


def test_soil_in_words_holds_as_deep_as_the_bare_path_ends_and_a_modulus_as_told() -> None:
    survey = lawn("loose sand")
    held = ground(survey, survey.stub(StubId("feed")))
    assert held is not None
    feed = survey.stub(StubId("feed"))
    down = feed.bare[1].length - feed.tip.mean[2]
    assert held.depth == pytest.approx(survey.box.grade.value + down, abs=0.0254)
    assert held.stiffness == foundation("loose sand", held.depth).value
    told = ground(lawn("500 psi"), survey.stub(StubId("feed")))
    assert told is not None
    assert told.stiffness == pytest.approx(500 * PSI)
    assert str(told.source) == "survey"


def test_a_stubs_own_soil_wins_over_the_pits_and_a_clamp_is_the_same_as_nothing() -> None:
    mixed = lawn("loose sand", CLAMP)
    assert ground(mixed, mixed.stub(StubId("lawn"))) is None
    assert ground(mixed, mixed.stub(StubId("feed"))) is not None
    for stub in ("feed", "lawn"):
        assert (compliance(lawn(CLAMP), stub, 0.1) == compliance(lawn(), stub, 0.1)).all()


@pytest.mark.parametrize("soil", [s for s in SOILS if s != CLAMP])
def test_the_plan_bends_with_soil_that_gives_and_says_so(soil: str) -> None:
    clamped, gives = plan(lawn()), plan(lawn(soil))
    assert "taken to give" not in plan_text(clamped)
    assert f"taken to give, not to clamp: {soil}" in plan_text(gives)
    one, two = clamped.zones[0].answer, gives.zones[0].answer
    assert not isinstance(one, Refusal)
    assert not isinstance(two, Refusal)
    softer = {o.key: o.bending.judged.upper for o in two}
    both = [(o.bending.judged.upper, softer[o.key]) for o in one if o.key in softer]
    assert all(soft <= hard + 0.02 for hard, soft in both)
    assert any(soft < hard - 0.02 for hard, soft in both)


def test_flex_reaches_farther_in_soil_that_gives_and_tells_which() -> None:
    survey = lawn("wet loose sand")
    stub = survey.stub(StubId("lawn"))
    gives, clamped = movable(survey, stub), movable(lawn(), stub)
    assert clamped.ground is None
    assert gives.ground == ground(survey, stub)
    for far, near in zip(gives.reaches, clamped.reaches, strict=True):
        assert far.reach.least > near.reach.least


def test_a_tip_of_new_work_keeps_the_ground_of_the_old_pipe_behind_it() -> None:
    survey = lawn("firm sand")
    old = survey.stub(StubId("lawn"))
    ahead = replace(old, soil=Soil("stiff clay"))
    held = ground(survey, ahead)
    assert held is not None
    assert held.soil == "stiff clay"
