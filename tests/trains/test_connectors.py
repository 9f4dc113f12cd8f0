"""Bodies that slide, and transitions to other materials: what they span and when they are there."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.parts import Fitting, JointKind, Pipe
from pitwright.catalogue.shelf import joins, load_shelf
from pitwright.trains.bench import Bench, new_pipe
from pitwright.trains.connectors import slid, telescoping, transition, window
from pitwright.trains.kit import SLID_ON_PIECE, SLID_ON_STUB, EndWay
from pitwright.units.kinds import INCH, POUND_FORCE
from tests.trains.test_kitting import stub

SHELF = load_shelf()
LENGTHS = st.floats(0.0, 1.0)


def bench(size: str = "1", reserve: float = INCH / 2, shelf: object = SHELF) -> Bench:
    pipe = new_pipe(SHELF, size)
    assert pipe is not None
    return Bench(SHELF, pipe, INCH / 8, (45.0, 90.0), 2, reserve)


def telescope(size: str = "1") -> Fitting:
    part = SHELF.fitting("telescoping coupling", size)
    assert part is not None
    return part


def test_a_spigot_end_moves_the_window_out_by_what_goes_into_its_neighbour() -> None:
    """It must pass the face of the neighbour's socket pushed together, and hides nothing itself."""
    plain = window(10.0, 18.0, (1.0, 1.0))
    assert plain == (10.0, 16.0)
    assert window(10.0, 18.0, (1.0,), (1.0,)) == (11.0, 17.0)
    assert window(10.0, 18.0, (), (1.0, 1.0)) == (12.0, 18.0)


def test_reserve_costs_the_long_end_and_the_short_one_only_where_sockets_are_shallow() -> None:
    """Pushed together between two ends it stands both socket depths short of its own end."""
    assert window(10.0, 18.0, (1.0, 1.0), reserve=0.5) == (10.0, 15.5)
    assert window(10.0, 18.0, (0.1, 0.1), reserve=0.5) == pytest.approx((10.3, 17.3))


@given(LENGTHS, LENGTHS, LENGTHS, LENGTHS, LENGTHS)
def test_a_longer_stroke_never_narrows_the_window_and_reserve_never_widens_it(
    collapsed: float, stroke: float, more: float, socket: float, reserve: float
) -> None:
    low, high = window(collapsed, collapsed + stroke, (socket, socket), reserve=reserve)
    longer = window(collapsed, collapsed + stroke + more, (socket, socket), reserve=reserve)
    bare = window(collapsed, collapsed + stroke, (socket, socket))
    assert longer[0] == low >= collapsed
    assert longer[1] >= high
    assert bare[0] <= low
    assert bare[1] >= high


@pytest.mark.parametrize("size", ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2"])
def test_the_body_gives_from_one_end_of_its_window_to_the_other(size: str) -> None:
    part = telescope(size)
    assert part.collapsed is not None
    assert part.extended is not None
    sockets = [p.depth.value for p in part.ports]
    pipe = new_pipe(SHELF, size)
    ways = list(telescoping(bench(size), stub("beds-out", pipe=pipe)))
    low, high = window(part.collapsed.value, part.extended.value, sockets, reserve=INCH / 2)
    assert len(ways) == (1 if low <= high else 0)
    for way in ways:
        assert way.coupler is not None
        length = way.coupler.stub_side.takeout + way.coupler.new_side.takeout
        assert length - way.coupler.give == pytest.approx(low, abs=1e-12)
        assert length + way.coupler.give == pytest.approx(high, abs=1e-12)


def test_one_whose_reserve_eats_its_stroke_spans_nothing() -> None:
    assert list(telescoping(bench(), stub("beds-in")))
    assert list(telescoping(bench(reserve=2 * INCH), stub("beds-in"))) == []


def test_only_a_telescoping_coupling_is_pushed_apart() -> None:
    """A stop-less coupling is cemented on both pipes."""
    mine = stub("beds-in")
    (way,) = telescoping(bench(), mine)
    assert way.push / POUND_FORCE == pytest.approx(109, abs=0.5)
    assert [w.push for w in slid(bench(), mine)] == [0.0, 0.0]


def parked(length: float) -> dict[str, EndWay]:
    mine = stub("beds-out")
    bare = (replace(mine.bare[0], length=length * INCH),)
    return {w.name: w for w in slid(bench(), replace(mine, bare=bare))}


def test_a_stop_less_coupling_needs_its_whole_length_bare_on_the_stub_or_the_piece() -> None:
    part = SHELF.fitting("stopless coupling", "1")
    assert part is not None
    assert part.overall is not None
    whole = part.overall.value
    long, short = parked(9.0), parked(2.0)
    assert long[SLID_ON_STUB].cut == pytest.approx(min(5 * INCH, 9 * INCH - whole))
    assert short[SLID_ON_STUB].cut == pytest.approx(2 * INCH - whole)
    assert short[SLID_ON_STUB].cut < 0.0 <= short[SLID_ON_PIECE].cut
    piece = short[SLID_ON_PIECE].coupler
    assert piece is not None
    assert piece.park == whole


def test_it_gives_what_its_length_leaves_beyond_two_ordinary_depths() -> None:
    part, plain = SHELF.fitting("stopless coupling", "1"), SHELF.fitting("coupling", "1")
    assert part is not None
    assert part.overall is not None
    assert plain is not None
    body = parked(9.0)[SLID_ON_STUB].coupler
    assert body is not None
    deep = plain.ports[0].depth.value
    assert 2 * body.give == pytest.approx(part.overall.value - 2 * deep)
    held = body.stub_side.depth - body.give / 2
    assert held == pytest.approx(deep), "drawn apart as far as it gives, both pipes stay that deep"


@pytest.mark.parametrize("pipe", SHELF.pipes, ids=lambda p: p.id)
def test_a_transition_takes_the_old_pipe_and_new_pipe_and_no_metal_male_enters_plastic(
    pipe: Pipe,
) -> None:
    size = pipe.size if new_pipe(SHELF, pipe.size) else "1"
    for way in transition(bench(size), stub("beds-out", pipe=pipe)):
        assert way.coupler is not None
        first, second = (SHELF.part(p) for p in way.coupler.parts)
        assert any(joins(pipe, p) for p in first.ports)
        assert any(joins(bench(size).pipe, p) for p in second.ports)
        thread, other = (
            next(p for p in f.ports if "thread" in p.joint.value) for f in (first, second)
        )
        assert {thread.joint, other.joint} == {JointKind.MALE_THREAD, JointKind.FEMALE_THREAD}
        assert (thread.system, thread.size) == (other.system, other.size)
        assert not (thread.joint is JointKind.MALE_THREAD and first.material == "copper")


@pytest.mark.parametrize("material", ["pe", "copper"])
def test_polyethylene_and_copper_get_a_joint_that_holds_thrust(material: str) -> None:
    system = "sidr" if material == "pe" else "cts"
    system = "sidr" if material == "pe" else "cts"
    pipes = [p for p in SHELF.pipes if (p.material, p.system, p.size) == (material, system, "1")]
    assert len(pipes) >= 3
    for pipe in pipes:
        (way,) = transition(bench(), stub("beds-out", pipe=pipe))
        assert way.push == 0.0
        assert way.coupler is not None
        length = way.coupler.stub_side.takeout + way.coupler.new_side.takeout
        parts = [SHELF.part(p) for p in way.coupler.parts]
        made = SHELF.thread("npt", "1").made_up(1.5)
        assert length == pytest.approx(math.fsum(p.seat_to_seat for p in parts) - made)
