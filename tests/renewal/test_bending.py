"""Closing by a body that slides: it takes up what lies along it, and no more than it gives."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import StubId
from pitwright.renewal.bending import bending, rigid_train, stands_fast
from pitwright.renewal.cut_in import cut_in
from pitwright.renewal.option import Option
from pitwright.survey.pit import Survey, read_survey
from pitwright.units.kinds import INCH

BRIDGE = Path(__file__).resolve().parents[2] / "examples" / "foot-bridge.pit.toml"
IN, OUT = StubId("left-in"), StubId("left-out")
TEXT = BRIDGE.read_text(encoding="utf-8")


@cache
def bridge(x: str = "5/16", y: str = "35 cm", z: str = "3/16") -> Survey:
    text = TEXT.replace('tip = ["5/16", "35 cm", "3/16"]', f'tip = ["{x}", "{y}", "{z}"]')
    return read_survey(text, BRIDGE.name, load_shelf())


def left(survey: Survey) -> Option:
    got = cut_in(survey, survey.zones[0], 0)
    assert isinstance(got, tuple)
    (option,) = (o for o in got if o.train.skeleton.label == "straight, direct-telescoping")
    return option


def moved(by: float) -> Survey:
    """The outlet farther off along its own line than the plan was made for. [in]"""
    x, z = 5 / 16 + by * math.tan(math.radians(1.3)), 3 / 16 + by * math.tan(math.radians(0.8))
    return bridge(f"{x:.4f}", f"{350 + by * 25.4:.3f} mm", f"{z:.4f}")


def test_the_slide_is_what_the_coupling_may_still_be_set_to() -> None:
    option = left(bridge())
    survey = bridge()
    stubs = (survey.stub(IN), survey.stub(OUT))
    (slide,) = rigid_train(survey, stubs, option.cuts).slides
    assert slide.high - slide.low == pytest.approx(5.5 * INCH)
    assert slide.low < 0.0 < slide.high
    assert slide.high == pytest.approx(15.5 * INCH - option.train.length, abs=1e-9)


@pytest.mark.parametrize(
    ("by", "closes"), [(-3.7, True), (1.6, True), (-3.95, False), (1.95, False)]
)
def test_it_takes_up_axial_misfit_between_stubs_that_cannot_move_within_what_it_gives(
    by: float, closes: bool
) -> None:
    """10 to 15 1/2 in; the plan stands at 13.78, seats and play add less than 1/8."""
    option, survey = left(bridge()), moved(by)
    stubs = (survey.stub(IN), survey.stub(OUT))
    got = bending(survey, stubs, option.cuts, dig=False)
    assert (not hasattr(got, "code")) is closes


def test_a_stub_with_an_inch_of_bare_pipe_stands_fast_and_one_with_more_does_not() -> None:
    survey = bridge()
    assert stands_fast(survey, survey.stub(IN), 0.0)
    longer = read_survey(re.sub(r'bare = \["1"\]', 'bare = ["3"]', TEXT), "longer", load_shelf())
    assert not stands_fast(longer, longer.stub(IN), 0.0)
    assert stands_fast(longer, longer.stub(IN), 2 * INCH)
