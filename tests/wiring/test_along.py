"""Distance readings as people give them: every method, its wires and route, and its refusals."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.survey.harness import CONTROLLER, Box, Harness, Spare
from pitwright.wiring.along import METHODS, Along, along
from pitwright.wiring.copper import FOOT, ohm_per_metre
from tests.wiring.harnesses import three

HARNESS = replace(three(), spares=(Spare("P1", "B2", 16),))
LENGTH = 350 * FOOT
R16, R18 = ohm_per_metre(16), ohm_per_metre(18)
shares = st.floats(0.05, 0.95)


def asked(**given: str) -> Along:
    """``mate`` stands for the key ``with``."""
    keys = {("with" if k == "mate" else k): v for k, v in given.items()}
    return along(HARNESS, keys)


def near(found: Along, metres: float) -> bool:
    assert found.got is not None
    return found.got.metres == pytest.approx(metres, rel=1e-3)


@given(shares)
def test_each_method_gives_back_the_place_its_readings_were_made_from(share: float) -> None:
    """S2 in 18 gauge, the good wire P1 in 16, S3 in 18: plain circuit arithmetic."""
    d = share * LENGTH
    rest = LENGTH * (R18 + R16) - d * R18
    fault = 12.5
    pair = R18 + R16
    cases: dict[str, dict[str, float | str]] = {
        "murray": {"near_arm": d * R18, "far_arm": rest, "mate": "P1"},
        "varley": {"loop": 2 * LENGTH * R18, "balance": 2 * (LENGTH - d) * R18, "mate": "S3"},
        "volt-drop": {"near": 0.5 * d * R18, "far": 0.5 * rest, "mate": "P1"},
        "both-ends": {"near": d * pair + fault, "far": (LENGTH - d) * pair + fault},
        "capacitance": {"bad": 12.0 * share, "good": 12.0, "mate": "S3"},
        "capacitance-both-ends": {"near": 9.0 * share, "far": 9.0 * (1 - share)},
    }
    assert {*cases, "loop-ohms"} == METHODS.keys()
    for method, readings in cases.items():
        said = {k: v if isinstance(v, str) else f"{v:.9f}" for k, v in readings.items()}
        assert near(asked(method=method, wire="S2", **said), d), method


def test_loop_ohms_bound_the_place_and_say_nothing_past_the_end() -> None:
    bound = asked(method="loop-ohms", wire="s2", ohm="2.3, leads 0.2")
    assert near(bound, 2.1 / (R16 + R18))
    assert (bound.mate, bound.low, bound.past_end) == ("C1", 0.0, False)
    assert bound.segments == ("B1", "B2")
    assert asked(method="loop-ohms", wire="S2", ohm="8").past_end


def test_the_segment_and_those_the_band_reaches_are_named() -> None:
    one = asked(method="murray", wire="S2", mate="S3", near_arm="20", far_arm="80")
    assert (one.segment, one.segments, one.to) == ("B1", ("B1",), "B2")
    edge = asked(method="murray", wire="S2", mate="S3", near_arm="21.5", far_arm="78.5")
    assert edge.segments == ("B1", "B2")
    assert edge.low < 150 * FOOT < edge.high


def test_a_loop_closed_on_the_way_is_as_long_as_its_box_is_far() -> None:
    half = asked(method="murray", wire="S2", mate="S1", to="b1", near_arm="1", far_arm="3")
    assert near(half, 75 * FOOT)
    assert half.to == "B1"


def test_an_unsure_route_widens_the_band() -> None:
    first = replace(HARNESS.boxes[0], length_sd=10.0)
    unsure = replace(HARNESS, boxes=(first, *HARNESS.boxes[1:]))
    for method, keys in (
        ("murray", {"near_arm": "20", "far_arm": "80"}),
        ("varley", {"loop": "4.5", "balance": "1.5"}),
    ):
        given = {"method": method, "wire": "S2", "with": "S3", **keys}
        wide, narrow = along(unsure, given).got, along(HARNESS, given).got
        assert wide is not None and narrow is not None
        assert wide.sd > narrow.sd + 1.0


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ({"method": "loop-ohms", "ohm": "OL on 200"}, "distance.open"),
        ({"method": "both-ends", "near": "3", "far": "OL"}, "distance.open"),
        (
            {"method": "capacitance", "mate": "S3", "bad": "no reading", "good": "5"},
            "distance.no-capacitance",
        ),
        (
            {"method": "murray", "mate": "S3", "near_arm": "80", "far_arm": "20"},
            "distance.past-end",
        ),
        ({"method": "both-ends", "near": "1", "far": "40"}, "distance.before-start"),
    ],
)
def test_what_has_no_distance_is_refused_not_guessed(given: dict[str, str], code: str) -> None:
    found = asked(wire="S2", **given)
    assert found.got is None and found.refusal is not None
    assert found.refusal.because[0].code == code


LOOP = {"method": "murray", "wire": "S2", "mate": "S3", "near_arm": "1", "far_arm": "3"}


@pytest.mark.parametrize(
    ("change", "error", "says"),
    [
        ({"method": ""}, Missing, "distance.method"),
        ({"method": "murry"}, UnknownName, "did you mean murray"),
        ({"wire": "S22"}, UnknownName, "distance.wire"),
        ({"wire": ""}, Missing, "name the bad wire"),
        ({"mate": ""}, Missing, "distance.with"),
        ({"mate": "s2"}, Malformed, "another wire"),
        ({"mate": "S1"}, Malformed, "does not lie there"),
        ({"to": "B9"}, UnknownName, "distance.to"),
        ({"near": "1"}, UnknownName, "key of murray"),
        ({"near_arm": ""}, Missing, "distance.near_arm"),
        ({"near_arm": "short"}, Malformed, "is not a reading"),
        ({"near_arm": "0"}, OutOfRange, "distance.near_arm"),
        ({"near_arm": "-3"}, OutOfRange, "must be"),
        ({"near_arm": "9" * 400}, OutOfRange, "a meter shows"),
        ({"near_arm": "1e400"}, Malformed, "unit"),
        ({"near_arm": "nan"}, Malformed, "is not a number"),
    ],
)
def test_bad_input_names_its_key(change: dict[str, str], error: type[BadInput], says: str) -> None:
    with pytest.raises(error, match=says):
        asked(**{**LOOP, **change})


def test_units_that_do_not_fit_and_over_range_volts_are_named() -> None:
    loop = {"wire": "S2", "mate": "S3"}
    with pytest.raises(Malformed, match="unit"):
        asked(method="volt-drop", near="0.2 A", far="0.3", **loop)
    with pytest.raises(Malformed, match="over-range"):
        asked(method="volt-drop", near="OL", far="0.3", **loop)
    with pytest.raises(Malformed, match="higher range"):
        asked(method="capacitance", bad="OL", good="3", **loop)
    with pytest.raises(OutOfRange, match=r"distance\.balance must be 0 to 4\.5"):
        asked(method="varley", loop="4.5", balance="9", **loop)
    mv = asked(method="volt-drop", near="200 mV", far="0.8", **loop)
    assert near(mv, 0.4 * LENGTH)


def test_a_common_that_branches_asks_for_its_far_end() -> None:
    boxes = (*HARNESS.boxes, Box("B3", CONTROLLER, 30.0))
    stations = (*HARNESS.stations, replace(HARNESS.stations[0], id="S4", box="B3"))
    forked = replace(HARNESS, boxes=boxes, stations=stations)
    given = {"method": "capacitance-both-ends", "wire": "C1", "near": "3", "far": "3"}
    with pytest.raises(Missing, match="branches"):
        along(forked, given)
    assert along(forked, {**given, "to": "B3"}).length == 30.0


def test_a_harness_of_another_temperature_has_other_ohms() -> None:
    hot: Harness = replace(HARNESS, temperature=50.0)
    given = {"method": "loop-ohms", "wire": "S2", "ohm": "2"}
    cold, warm = along(HARNESS, given).got, along(hot, given).got
    assert cold is not None and warm is not None
    assert warm.metres < 0.95 * cold.metres
