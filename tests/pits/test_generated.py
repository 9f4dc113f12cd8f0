"""Generated pits, from their survey to the printed plan: what is printed can be built."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal, StubId
from pitwright.geometry.vector import angle_between
from pitwright.planning import plan
from pitwright.renewal.baring import bared
from pitwright.renewal.between import between_stubs
from pitwright.renewal.cut_in import cut_in
from pitwright.survey.pit import Survey, read_survey
from pitwright.wording.plan_data import plan_data
from tests.pits import generated
from tests.pits.generated import INCH, Pit, mirrored, survey_text, turned_in_plan
from tests.pits.walker import built, missed

SEEDS = range(48)
MANY = range(1, 9)
"""Seeds that are also planned with up to four bends."""
TURNED = [*((s, 2) for s in range(1, 21)), (1, 4), (2, 4), (3, 4)]
"""Seeds, and the most bends, of pits that are turned, mirrored and renamed."""
LIMIT = 5 / 16 * INCH
"""A quarter inch that old pipe may take up, and a sixteenth for the rounding. [m]"""
TRUE = [(1.0, 0.0, 0.0), (-1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, -1.0, 0.0)]


def surveyed(text: str) -> Survey:
    return read_survey(text, "generated", load_shelf())


@cache
def planned(text: str) -> tuple[Survey, dict[str, Any]]:
    survey = surveyed(text)
    return survey, plan_data(plan(survey), "0")


def options(pit: Pit, **how: Any) -> dict[str, list[dict[str, Any]]]:
    return {z["zone"]: z["options"] for z in planned(survey_text(pit, **how))[1]["zones"]}


def test_most_generated_pits_are_as_crooked_as_real_ones() -> None:
    """At least half of all stubs lean 1 to 5 degrees, out of plane, and sizes are mixed."""
    leans = []
    sizes = set()
    out_of_plane = 0
    for seed in SEEDS:
        for _, inlet, outlet, _ in generated.pit(seed).zones:
            sizes.add(outlet.pipe)
            out_of_plane += abs(inlet.faces[2]) > 1e-3 and abs(outlet.faces[2]) > 1e-3
            leans += [
                math.degrees(min(angle_between(e.faces, t) for t in TRUE)) for e in (inlet, outlet)
            ]
    assert sum(1.0 - 1e-6 <= lean <= 5.0 + 1e-6 for lean in leans) >= len(leans) / 2
    assert out_of_plane >= len(SEEDS)
    assert sizes == set(generated.OUTLETS)


@pytest.mark.parametrize(("seed", "bends"), [*((s, 2) for s in SEEDS), *((s, 4) for s in MANY)])
def test_every_printed_plan_closes_when_it_is_built_from_its_rounded_list(
    seed: int, bends: int
) -> None:
    survey, document = planned(survey_text(generated.pit(seed), bends=bends))
    for zone in document["zones"]:
        inlet, outlet = (survey.stub(zone[k]) for k in ("inlet", "outlet"))
        for option in zone["options"]:
            off, angle = missed(
                option, (inlet.tip.mean, inlet.outward), (outlet.tip.mean, outlet.outward)
            )
            told = option["misfit"]["rebuilt"]
            assert off == pytest.approx(told["position_m"], abs=1e-9)
            assert math.degrees(angle) == pytest.approx(told["angle_deg"], abs=1e-6)
            assert off <= LIMIT
            assert math.degrees(angle) <= 6.2
            for cut, stub in zip(option["cut_off"], (inlet, outlet), strict=True):
                assert 0.0 <= cut["cut_m"] <= stub.cut_back + 1e-6
            for piece in (i for i in option["items"] if i["kind"] == "piece"):
                least = sum(piece["depth_marks_m"]) + survey.preferences.gap - INCH / 64
                assert piece["length_m"] >= least - 1e-9


def test_the_generated_pits_try_every_shape_and_some_are_refused() -> None:
    """Else the test above could not fail."""
    shapes: set[str] = set()
    refused = zones = 0
    for seed in SEEDS:
        for found in options(generated.pit(seed)).values():
            zones += 1
            refused += not found
            shapes |= {o["skeleton"].split(",")[0] for o in found}
    assert shapes >= {"straight", "90", "45-45", "90-90"}
    assert 5 < refused < 2 * zones / 3


def test_the_walker_sees_a_piece_an_eighth_too_long_and_a_bend_a_degree_off() -> None:
    found = next(o for s in SEEDS for os in options(generated.pit(s)).values() for o in os
                 if o["skeleton"].startswith("45-45"))  # fmt: skip
    straight = built(found, (0, 0, 0), (0, 1, 0))
    for item in found["items"]:
        key, by = ("clock_deg", 1.0) if item["kind"] == "bend" else ("length_m", INCH / 8)
        changed = {**found, "items": [{**i, key: i[key] + by} if i is item else i
                                      for i in found["items"]]}  # fmt: skip
        other = built(changed, (0, 0, 0), (0, 1, 0))
        assert np.abs(other - straight).max() > 1e-3


def same(a: list[dict[str, Any]], b: list[dict[str, Any]], *, glass: bool = False) -> None:
    """One cut list, whatever the stubs are called; in the looking glass clocks change sign.

    Chances carry 0.02 of their own along fixed rays, and an opening within 2 % of its limit may be
    proved or not: so the order, and the last few of many, may differ; a train both show may not.
    """
    left, right = ({o["skeleton"]: o for o in options} for options in (a, b))
    both = [name for name in left if name in right]
    assert bool(a) == bool(b)
    assert 2 * len(both) >= min(len(left), len(right)) or min(len(left), len(right)) < 3
    for one, other in ((left[name], right[name]) for name in both):
        assert [c["cut_text"] for c in one["cut_off"]] == [c["cut_text"] for c in other["cut_off"]]
        assert one["parts"] == other["parts"]
        for i, j in zip(one["items"], other["items"], strict=True):
            assert i["kind"] == j["kind"]
            if i["kind"] == "bend":
                clock = -i["clock_deg"] if glass else i["clock_deg"]
                turn = (clock - j["clock_deg"] + 180.0) % 360.0 - 180.0
                assert abs(turn) < 0.11
            assert i.get("length_text") == j.get("length_text")


@pytest.mark.parametrize(("seed", "bends"), TURNED)
def test_a_pit_turned_by_37_degrees_has_the_same_cut_list(seed: int, bends: int) -> None:
    pit = generated.pit(seed)
    there = options(turned_in_plan(pit, 37.0), bends=bends)
    for zone, found in options(pit, bends=bends).items():
        same(found, there[zone])


@pytest.mark.parametrize(("seed", "bends"), TURNED)
def test_a_mirrored_pit_has_the_mirrored_cut_list(seed: int, bends: int) -> None:
    pit = generated.pit(seed)
    there = options(mirrored(pit), bends=bends)
    for zone, found in options(pit, bends=bends).items():
        same(found, there[zone], glass=True)


@pytest.mark.parametrize(("seed", "bends"), TURNED)
def test_names_and_the_order_of_the_stubs_change_nothing(seed: int, bends: int) -> None:
    pit = generated.pit(seed)
    there = options(pit, names=("zulu", "alpha"), order=-1, bends=bends)
    for zone, found in options(pit, bends=bends).items():
        same(found, there[zone])


def _with_more(pit: Pit, zone: str, more: dict[str, float]) -> Pit:
    """Each stub of a zone bared and cut back by so much more."""
    zones = []
    for name, *ends, valve in pit.zones:
        for n, side in enumerate(("in", "out")):
            by = more.get(f"{name} {side}", 0.0) if name == zone else 0.0
            end = ends[n]
            assert isinstance(end, generated.End)
            ends[n] = replace(end, cut_back=end.cut_back + by, bare=end.bare + by)
        zones.append((name, *ends, valve))
    return Pit(tuple(zones), pit.crooked)  # type: ignore[arg-type]


def test_baring_what_a_refusal_asks_for_really_lifts_it() -> None:
    """Every one of every refused zone: by lengths alone, rounded up to the sixteenth as it is
    printed, or proved to be put in."""
    assert lifted_of(range(30)) >= 1


@pytest.mark.nightly
def test_baring_lifts_in_many_more_pits() -> None:
    assert lifted_of(range(30, 240)) >= 10


def lifted_of(seeds: Iterable[int]) -> int:
    """How many refusals of generated pits asked for more bare pipe, each found to close with it."""
    lifted = 0
    for seed in seeds:
        pit = generated.pit(seed)
        for zone in planned(survey_text(pit))[1]["zones"]:
            whole = survey_text(pit)
            proved = [s for s in (zone["refused"] or {"because": ()})["because"]
                      if s["code"] == "BARE_TO_PUT_IN"]  # fmt: skip
            for short in proved:
                at = surveyed(whole)
                stub = at.stub(StubId(short["where"]))
                longer = between_stubs(
                    bared(at, stub, short["missed"]), at.zone(zone["zone"]), 2, lifted=False
                )
                assert longer.options, (seed, short)
                lifted += 1
            asked = [s for s in (zone["refused"] or {"because": ()})["because"]
                     if s["code"] in ("BARE", "BARE_BOTH") and s["missed"] > 0.0]  # fmt: skip
            if not asked:
                continue
            sixteenth = INCH / 16
            more = {s["where"]: math.ceil(s["missed"] / sixteenth + 0.01) * sixteenth
                    for s in asked}  # fmt: skip
            again = surveyed(survey_text(_with_more(pit, zone["zone"], more)))
            got = cut_in(again, again.zone(zone["zone"]), 2)
            assert not isinstance(got, Refusal), (seed, zone["zone"], more)
            lifted += 1
    return lifted
