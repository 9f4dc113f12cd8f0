"""From shelf and survey to what may be built: every way a stub can be joined, by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.catalogue.parts import FittingPort, JointKind
from pitwright.catalogue.shelf import joins, load_shelf
from pitwright.findings import Short
from pitwright.survey.pit import load_survey
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.trains.kit import Corner, EndWay, Kit
from pitwright.trains.kitting import Bench, kit_for, made_up, new_pipe, stub_end, unmeasured
from pitwright.units.kinds import INCH

SHELF = load_shelf()
PIT = load_survey(
    Path(__file__).resolve().parents[2] / "examples" / "school-garden.pit.toml", SHELF
)
GAP = INCH / 8


def bench(size: str = "1", bends: tuple[float, ...] = (45.0, 90.0)) -> Bench:
    pipe = new_pipe(SHELF, size)
    assert pipe is not None
    return Bench(SHELF, pipe, GAP, bends, 2)


def stub(name: str, **changes: object) -> Stub:
    return replace(next(s for s in PIT.stubs if s.id == name), **changes)  # type: ignore[arg-type]


def valve(name: str = "globe", **changes: object) -> ValveBody:
    return replace(next(v for v in PIT.valves if v.name == name), **changes)  # type: ignore[arg-type]


def ways(inlet: Stub, size: str = "1") -> dict[str, EndWay]:
    got = kit_for(bench(size), (inlet, stub("beds-out")), valve())
    assert isinstance(got, Kit), got
    return {w.name: w for w in got.ends_a}


def test_a_plain_stub_of_the_new_size_goes_straight_in_or_takes_a_coupling() -> None:
    got = ways(stub("beds-out"))
    assert {"direct", "coupled"} <= set(got)
    coupling = SHELF.fitting("coupling", "1")
    assert coupling is not None
    assert got["coupled"].coupler is not None
    assert got["coupled"].coupler.parts == (coupling.id,)


def test_what_is_left_to_cut_is_the_allowance_or_what_the_socket_leaves() -> None:
    """2 1/4 in bare, one inch may come off: the socket needs the rest, and more must stay."""
    elbow = SHELF.fitting("elbow", "1", 45.0)
    assert elbow is not None
    assert elbow.ports
    deepest = max(p.depth.value for b in (45.0, 90.0) for p in _ports("1", b))
    deepest = max(deepest, made_up(bench(), valve()).depth_before)
    short = stub("hedge-in")
    assert ways(short)["direct"].cut == pytest.approx(
        min(short.cut_back, short.bare[0].length - deepest)
    )
    gate = ways(stub("gate-in"))["direct"]
    assert gate.cut == pytest.approx(0.75 * INCH - deepest)
    assert gate.cut < 0.0


def _ports(size: str, bend: float) -> tuple[FittingPort, ...]:
    elbow = SHELF.fitting("elbow", size, bend)
    assert elbow is not None
    return elbow.ports


def test_without_a_measured_straight_only_the_allowance_limits_the_cut() -> None:
    assert ways(stub("beds-out", bare=()))["direct"].cut == pytest.approx(5 * INCH)


def test_another_size_takes_a_reducing_coupling_or_a_bushed_corner_and_never_goes_straight_in() -> (
    None
):
    got = ways(stub("drip-out"))
    assert "direct" not in got
    assert got["coupled"].coupler is not None
    assert "reducing" in SHELF.part(got["coupled"].coupler.parts[0]).name
    bushed = got["bushed"]
    assert bushed.corners is not None
    assert not bushed.fits_unit
    bushing = SHELF.find(kind="bushing", size="1 x 3/4", schedule="40")[0]
    plain = {c.bend: c for c in bench_corners()}
    for corner in bushed.corners:
        assert corner.parts[-1] == bushing.id
        assert corner.before.takeout == pytest.approx(
            plain[corner.bend].before.takeout + bushing.seat_to_seat
        )
        assert corner.after == plain[corner.bend].after
        assert corner.before.scatter >= plain[corner.bend].before.scatter


def bench_corners() -> tuple[Corner, ...]:
    got = kit_for(bench(), (stub("beds-in"), stub("beds-out")), None)
    assert isinstance(got, Kit)
    return got.corners


@pytest.mark.parametrize("pipe", [p for p in SHELF.pipes if p.joints], ids=lambda p: p.id)
def test_every_pipe_on_the_shelf_has_a_way_or_a_refusal_that_names_it(pipe: object) -> None:
    """And every body a way begins with really takes that pipe on one side and new pipe on the
    other."""
    mine = stub("beds-out", pipe=pipe)
    got = kit_for(bench(), (mine, stub("beds-in")), valve())
    assert mine.pipe is not None
    if isinstance(got, Short):
        assert (got.code, got.where, got.tried) == ("NO_JOINT", "beds-out", mine.pipe.name)
        return
    for way in got.ends_a:
        if way.coupler is None:
            continue
        first, last = (SHELF.part(way.coupler.parts[n]).ports for n in (0, -1))
        assert any(joins(mine.pipe, p) for p in first)
        assert any(joins(bench().pipe, p) for p in last)


def test_a_pipe_nothing_may_be_joined_to_is_refused_by_name() -> None:
    pipe = next(p for p in SHELF.pipes if not p.joints)
    got = kit_for(bench(), (stub("beds-out", pipe=pipe), stub("beds-in")), valve())
    assert isinstance(got, Short)
    assert got.code == "NO_JOINT"
    assert got.tried == pipe.name


def test_a_socket_that_stays_takes_new_pipe_of_its_own_size_only() -> None:
    socket = stub("beds-out", end=JointKind.SOCKET, end_size="1")
    assert list(ways(socket)) == ["socket"]
    seat = stub_end(socket, SHELF).seat
    assert seat is not None
    assert seat.takeout == -seat.depth
    other = stub("beds-out", end=JointKind.SOCKET, end_size="3/4")
    assert isinstance(kit_for(bench(), (other, stub("beds-in")), None), Short)


@pytest.mark.parametrize("end", [JointKind.MALE_THREAD, JointKind.FEMALE_THREAD])
def test_a_thread_that_stays_takes_the_adapter_of_the_other_sex(end: JointKind) -> None:
    threaded = ways(stub("beds-out", end=end, end_size="1"))["threaded"]
    assert threaded.coupler is not None
    adapter = SHELF.part(threaded.coupler.parts[0])
    wanted = "adapter female" if end is JointKind.MALE_THREAD else "adapter male"
    assert adapter.kind == wanted
    thread = next(p for p in adapter.ports if p.joint is not JointKind.SOCKET)
    made = SHELF.thread("npt", "1").made_up(1.5)
    assert threaded.coupler.stub_side.takeout == pytest.approx(thread.takeout.value - made)
    assert threaded.cut == 0.0


def test_a_made_up_unit_that_was_measured_is_taken_as_measured() -> None:
    unit = made_up(bench(), valve())
    assert unit.length == pytest.approx(5.5625 * INCH)
    assert unit.scatter == pytest.approx(INCH / 16)
    assert unit.rests_on == ()


def test_a_made_up_unit_nobody_measured_is_body_and_adapters_less_their_threads() -> None:
    """By hand: 4 3/4 + 2 (lay of the adapter - 1 1/2 turns past hand-tight)."""
    unit = made_up(bench(), valve(made_up=None))
    adapter = SHELF.fitting("adapter male", "1")
    assert adapter is not None
    lay = sum(p.takeout.value for p in adapter.ports)
    turns = SHELF.thread("npt", "1").made_up(1.5)
    assert unit.length == pytest.approx(4.75 * INCH + 2 * (lay - turns))
    assert unit.rests_on == ("valve globe", adapter.id)
    assert unit.scatter > made_up(bench(), valve()).scatter


def test_a_valve_with_sockets_is_its_body_less_two_depths() -> None:
    unit = made_up(bench(), valve(made_up=None, joint=JointKind.SOCKET))
    assert unit.length == pytest.approx(4.75 * INCH - unit.depth_before - unit.depth_after)


def test_bends_are_those_the_shelf_has_in_the_new_size() -> None:
    got = kit_for(bench(bends=(22.5, 45.0, 60.0, 90.0)), (stub("beds-in"), stub("beds-out")), None)
    assert isinstance(got, Kit)
    bends = {round(math.degrees(c.bend), 6) for c in got.corners}
    assert {45.0, 90.0} <= bends
    assert 60.0 not in bends


def test_each_unmeasured_part_is_asked_for_once() -> None:
    part = SHELF.fitting("elbow", "1", 45.0)
    assert part is not None
    found = unmeasured(SHELF, (part.id, part.id, "valve globe"))
    assert [f.name("part") for f in found] == [part.name]
    scatter = max((p.takeout.high - p.takeout.low) / 2 for p in part.ports)
    assert found[0].number("within") == pytest.approx(scatter)
    assert found[0].source in SHELF.sources
