"""What never goes in: sockets between two ends that cannot move; what a sliding body asks for."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Short
from pitwright.renewal.cut_in import Considered, considered
from pitwright.survey.pit import Survey, read_survey
from pitwright.units.kinds import INCH

BRIDGE = Path(__file__).resolve().parents[2] / "examples" / "foot-bridge.pit.toml"
TEXT = BRIDGE.read_text(encoding="utf-8")


@cache
def bridge(bare: str = "1") -> Survey:
    text = TEXT.replace('bare = ["1"]', f'bare = ["{bare}"]')
    return read_survey(text, BRIDGE.name, load_shelf())


@cache
def straight(bare: str) -> Considered:
    survey = bridge(bare)
    return considered(survey, survey.zones[0], 0)


def labels(got: Considered) -> set[str]:
    assert isinstance(got.answer, tuple)
    return {o.train.skeleton.label for o in got.answer}


def test_two_couplings_and_a_piece_never_go_in_between_ends_that_cannot_move() -> None:
    got = straight("1")
    assert "straight, coupled-coupled" not in labels(got)
    (stuck,) = (s for s in got.passed_over if s.code == "STUCK")
    assert isinstance(stuck, Short)
    assert (
        stuck.missed == stuck.need == load_shelf().part("coupling-sch40-3/4").ports[0].depth.value
    )


def test_with_pipe_that_can_be_bent_aside_that_is_not_said_any_more() -> None:
    got = straight("20")
    assert not [s for s in got.passed_over if s.code == "STUCK"]


def test_what_slides_goes_in_and_says_what_it_asks() -> None:
    got = straight("1")
    assert isinstance(got.answer, tuple)
    (option,) = (o for o in got.answer if o.train.skeleton.label.endswith("direct-telescoping"))
    told = {f.code: f for f in option.findings}
    assert 300.0 < told["holds_no_thrust"].number("push") < 320.0
    spare = min(option.train.length - 10 * INCH, 15.5 * INCH - option.train.length)
    assert abs(told["set_stroke"].number("give") - spare) < 1e-9


def test_a_stop_less_coupling_says_what_to_park_it_on() -> None:
    """The stub is far too short for it, so the piece must be long enough."""
    got = straight("1 1/8")
    assert isinstance(got.answer, tuple)
    option = next(o for o in got.answer if "slid on piece" in o.train.skeleton.label)
    parks = [f for f in option.findings if f.code == "park_first"]
    part = load_shelf().fitting("stopless coupling", "3/4")
    assert part is not None
    assert part.overall is not None
    assert {f.number("park") for f in parks} == {part.overall.value}
    assert {f.name("on") for f in parks} == {"new piece"}
    longest = max(p.length for p in option.cuts.pieces)
    assert longest > part.overall.value
