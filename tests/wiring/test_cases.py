"""The design study's checked cases: what readings cannot tell apart, and what they make likely."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pitwright.wiring.atoms import Atom, Grid, loop_of
from pitwright.wiring.belief import Belief, Family, Model, Priors, family, model, start
from pitwright.wiring.faults import Fault
from pitwright.wiring.fit import EDGE, Fit, fits
from pitwright.wiring.measuring import MeterTest, Reading
from tests.wiring.harnesses import three

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parent / "cases.json").read_text(encoding="utf-8")
)
STUDY = Priors(grid=Grid(series=(2.0, 2000.0, 8), leak=(0.5, 20_000.0, 10)))
KINDS = {
    "RSC": "ohms",
    "RSS": "ohms",
    "MOVE": "moves",
    "VV": "volts-coil",
    "RCOIL": "coil",
    "RPART": "parted",
    "RBYP": "joined",
    "INS-COMMON": "insulation",
}
EDGE_WIDTH = 0.3
"""Labels this near the edge may fall on either side. [nat]"""


def readings_of(case: dict[str, Any]) -> tuple[Reading, ...]:
    found = []
    for r in case["readings"]:
        value = frozenset(r["value"]) if isinstance(r["value"], list) else r["value"]
        found.append(Reading(MeterTest(KINDS[r["m"]], r.get("s") or r["c"], r.get("t", "")), value))
    return tuple(found)


def label(fault: Fault) -> str:
    """A fault in the study's spelling."""
    part = {"hot": ".hot", "return": ".ret", "coil": ".coil"}.get(fault.part, f"@{fault.segment}")
    return {
        "none": "none",
        "part-short": f"coil_short {fault.on}",
        "leak": f"short {fault.on}-{fault.other}@{fault.segment}",
        "earth": f"earth {fault.on}@{fault.segment}",
        "swap": f"swap {fault.on}/{fault.other}",
        "double": f"double {fault.on}>{fault.other}",
    }.get(fault.kind, f"{fault.kind} {fault.on}{part}")


def name_of(fam: Family) -> str:
    return " + ".join(sorted(label(f) for f in fam.faults)) or "none"


@cache
def solved(number: int) -> tuple[Belief, tuple[Fit, ...]]:
    case = CASES[number]
    made = model(three(), STUDY) if case["hypotheses"] == "singles" else listed(case)
    readings = readings_of(case)
    now = start(made, readings, pruned=False)
    return now, fits(now, range(len(made.families)))


def listed(case: dict[str, Any]) -> Model:
    """A model of just the pairs and singles a case lists, each at its given ohms and spot."""
    made = model(three(), STUDY)
    families = []
    for faults in case["hypotheses"]:
        named, loops = [], []
        for f in faults:
            if f["type"] == "earth":
                fault = Fault("earth", f["cond"], "wire", f["seg"])
            else:
                fault = Fault("leak", f["a"], "wire", f["seg"], f["b"])
            named.append(fault)
            loops.append(loop_of(made.net, fault, f["pos"], f["ohm"]))
        named = named or [Fault("none")]
        families.append(family(made.net, tuple(named), 0.0, (Atom(1.0, (), tuple(loops)),)))
    return Model(made.harness, made.net, tuple(families), made.pull)


@pytest.mark.parametrize("number", range(len(CASES)), ids=[c["name"] for c in CASES])
def test_the_set_not_told_apart_is_the_studys_but_for_its_edge(number: int) -> None:
    _, found = solved(number)
    top = found[0].log_likelihood
    behind = {name_of(f.family): top - f.log_likelihood for f in found}
    mine = {name for name, gap in behind.items() if gap <= EDGE}
    differing = mine ^ set(CASES[number]["fit_set"])
    assert all(abs(behind[name] - EDGE) <= EDGE_WIDTH for name in differing), differing


@pytest.mark.parametrize("number", range(len(CASES)), ids=[c["name"] for c in CASES])
def test_the_credible_set_overlaps_the_studys_by_four_fifths(number: int) -> None:
    now, _ = solved(number)
    ranked = sorted(
        zip(now.probabilities(), (name_of(f) for f in now.model.families), strict=True),
        key=lambda t: -t[0],
    )
    mine: set[str] = set()
    total = 0.0
    for p, name in ranked:
        mine.add(name)
        total += p
        if total >= 0.95:
            break
    theirs = set(CASES[number]["credible"])
    assert len(mine & theirs) / len(mine | theirs) >= 0.8


@pytest.mark.parametrize("number", range(len(CASES)), ids=[c["name"] for c in CASES])
def test_the_truth_is_never_ruled_out(number: int) -> None:
    """The true fault lies in the credible set or in the set not told apart."""
    now, found = solved(number)
    top = found[0].log_likelihood
    near = {name_of(f.family) for f in found if f.log_likelihood >= top - EDGE}
    assert CASES[number]["truth"] in near
    assert abs(sum(now.probabilities()) - 1.0) < 1e-12
