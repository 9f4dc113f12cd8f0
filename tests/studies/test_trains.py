"""Checked answers of the design study for trains of up to two bends.

The cases carry their own parts (inches, degrees) and snap strictly at one degree: they test the
kernel, not the planner's limits.
"""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from pitwright.findings import Refusal, Short
from pitwright.geometry.clearance import HalfSpace
from pitwright.geometry.vector import add, dot, scale
from pitwright.trains.kit import Corner, Coupler, EndWay, Kit, Seat, StubEnd, Unit
from pitwright.trains.room import Room
from pitwright.trains.search import Allowance, on_bends, search
from pitwright.trains.train import Train
from pitwright.units.kinds import INCH

CASES: dict[str, Any] = json.loads(Path(__file__).with_name("trains.json").read_text())["cases"]
OFFSETS = [k for k, c in CASES.items() if c["kind"] == "offset"]
LEAST = [
    k
    for k, c in CASES.items()
    if (c["kind"] == "min_train" and c["in"].get("nmax", 4) <= 2 and "box" not in c["in"])
    or k == "27_min_straight_valve"
]  # fmt: skip


def stub(data: dict[str, Any]) -> StubEnd:
    x, y, z = (i * INCH for i in data["p"])
    a, b, c = (float(i) for i in data["u"])
    return StubEnd((x, y, z), (a, b, c), data["cut"] * INCH)


def kit(data: dict[str, Any], bends: list[float], most: int) -> Kit:
    shelf = data["catalog"]
    depth, gap = shelf["d"] * INCH, shelf["gap"] * INCH
    corners = tuple(
        Corner(math.radians(b), Seat(g, depth), Seat(g, depth), (f"{b:g}",))
        for b in bends
        for g in [shelf["g"][f"{b:g}"] * INCH]
    )
    half = Seat(shelf["g"]["cpl"] * INCH, depth)
    unit = None
    if "valve_len" in shelf:
        tilt = math.radians(shelf["tilt_deg"])
        unit = Unit(shelf["valve_len"] * INCH, depth, depth, tilt, ("valve",))
    a, b = (data[k]["cut"] * INCH for k in "AB")

    def ways(cut: float) -> tuple[EndWay, ...]:
        coupled = EndWay("coupled", cut, Coupler(half, half, ("coupling",)))
        return (EndWay("direct", cut), coupled)

    return Kit(corners, ways(a), ways(b), gap, unit, most_bends=most)


def allowance(data: dict[str, Any]) -> Allowance:
    return Allowance(0.125 * INCH, math.radians(data.get("tol_ang_deg", 1.0)))


def stubs(data: dict[str, Any]) -> tuple[StubEnd, StubEnd]:
    return stub(data["A"]), stub(data["B"])


def inches(values: tuple[float, ...]) -> list[float]:
    return [v / INCH for v in values]


@pytest.mark.parametrize("name", OFFSETS)
def test_offsets_come_out_as_the_study_found_them(name: str) -> None:
    """A given sequence: leg lengths, pieces and cut-back to 1e-6 in, or the limit it broke."""
    data, out = CASES[name]["in"], CASES[name]["out"]
    seq = tuple(math.radians(b) for b in data["seq"])
    parts = kit(data, sorted({float(b) for b in data["seq"]}), len(seq))
    got = list(on_bends(seq, stubs(data), parts, allowance(data)))
    label = f"{'-'.join(f'{b:g}' for b in data['seq'])}, {'-'.join(data['ends'])}"
    if not out["feasible"]:
        mine = [s for s in got if isinstance(s, Short) and s.tried in (label, label.split(",")[0])]
        assert [s.code for s in mine] == [out["reason"]]
        for legs in out.get("legs", []):
            assert mine[0].have / INCH == pytest.approx(legs[0]["have"], abs=1e-6)
            assert mine[0].need / INCH == pytest.approx(legs[0]["least"], abs=1e-6)
        return
    trains = [t for t in got if isinstance(t, Train) and t.skeleton.label == label]
    assert len(trains) == len(out["solutions"])
    for train, expected in zip(trains, out["solutions"], strict=True):
        assert inches(train.lengths) == pytest.approx(expected["centres"], abs=1e-6)
        assert inches(train.cut_back) == pytest.approx(expected["cutback"], abs=1e-6)
        totals = [p["total"] for p in expected["pieces"]]
        ours = [sum(p) / INCH for p in train.pieces if p]
        assert ours == pytest.approx(totals, abs=1e-6)
        assert math.degrees(train.misfit.angle) == pytest.approx(
            out["residual_angle_deg"], abs=1e-6
        )
        assert train.misfit.position / INCH == pytest.approx(out["miss"], abs=1e-6)
        for w, theirs in zip(train.directions, expected["dirs"], strict=True):
            assert w == pytest.approx(tuple(theirs), abs=1e-9)


@pytest.mark.parametrize("name", LEAST)
def test_the_fewest_bends_parts_and_inches_are_those_of_the_study(name: str) -> None:
    data, out = CASES[name]["in"], CASES[name]["out"]
    parts = kit(data, [45.0, 90.0], min(data.get("nmax", 2), 2))
    got = search(stubs(data), parts, allowance(data))
    if not out["feasible"]:
        assert isinstance(got, Refusal)
        mine = {(s.tried.split(",")[0], s.code) for s in got.because}
        for line in out["reason"]:
            sequence, code = line.split(": ")
            digits = "-".join(d for d in sequence.strip("()").replace(" ", "").split(",") if d)
            assert (digits.replace("0bends", "straight"), code) in mine
        return
    assert not isinstance(got, Refusal)
    best = got[0]
    assert (best.bends, best.parts) == (out["bends"], out["parts"])
    assert best.length / INCH == pytest.approx(out["length"], abs=1e-5)
    assert best.skeleton.valve_leg == out["valve_leg"]
    assert best.skeleton.label.split(", ")[1] == "-".join(out["ends"])
    assert inches(best.lengths) == pytest.approx(out["centres"], abs=1e-6)


GRIDS = {"33_min_jog_three_bends": 3, "36_min_four_bends_between_risers": 4}


@pytest.mark.parametrize("name", GRIDS)
def test_families_are_found_within_3_percent_of_the_studys_own_grid(name: str) -> None:
    """Neither grid is exact: as few bends and parts, and as short to 3 %, or shorter."""
    data, out = CASES[name]["in"], CASES[name]["out"]
    got = search(stubs(data), kit(data, [45.0, 90.0], data["nmax"]), allowance(data))
    assert not isinstance(got, Refusal)
    best = min(got, key=lambda t: (t.bends, t.parts, t.length))
    assert (best.bends, best.parts) == (out["bends"], out["parts"])
    assert best.bends == GRIDS[name]
    assert best.length / INCH <= 1.03 * out["length"]


def test_a_box_pushes_the_bends_and_the_valve_leg_gives_way() -> None:
    """Case 38: the box, as walls for the bends' centres, moves the offset along the run.

    Our walls hold for the valve as well, so the side it stands in from the start is left out; no
    bend comes near that side.
    """
    data = CASES["38_min_offset_box_pushes_bends"]["in"]
    out = CASES["38_min_offset_box_pushes_bends"]["out"]
    walls = []
    for axis in range(3):
        for end, sign in ((0, -1.0), (1, 1.0)):
            if (axis, end) == (0, 0):
                continue
            x, y, z = (sign if axis == n else 0.0 for n in range(3))
            most = sign * data["box"][end][axis] * INCH
            walls.append(HalfSpace((x, y, z), most, f"side {axis} {end}"))
    parts = kit(data, [45.0, 90.0], 2)
    got = search(stubs(data), parts, allowance(data), Room(tuple(walls)))
    assert not isinstance(got, Refusal)
    best = next(t for t in got if t.skeleton.valve_leg == out["valve_leg"])
    assert (best.bends, best.parts) == (out["bends"], out["parts"])
    assert best.length / INCH == pytest.approx(out["length"], rel=0.03)
    for train in got:
        at = (0.0, 0.0, 0.0)
        for w, a in list(zip(train.directions, train.lengths, strict=True))[:-1]:
            at = add(at, scale(w, a))
            assert all(dot(wall.normal, at) <= wall.most + 1e-9 for wall in walls)
    # without the box the same kind may stand where the box forbids it
    free = search(stubs(data), parts, allowance(data))
    assert not isinstance(free, Refusal)
    assert {t.skeleton.label for t in got} <= {t.skeleton.label for t in free}
