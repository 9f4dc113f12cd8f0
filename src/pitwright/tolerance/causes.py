"""Every cause of error of one train, and what one sigma of it does at the closing joint.

A reading's name is its own id in the survey ("stub.beds-in.tip.0"); "cut.A" is piece A's cut,
"cut.inlet" the cut of a stub, "seats" all stand-outs, "take-out.bend 1" and "length.valve" what a
part measures, "angle.bend 1" a fitting's angle, "clock.bend 1" how it was rolled.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pitwright.errors import Malformed
from pitwright.geometry.vector import Vec, across, add, cross, minus, norm, scale, sub, unit
from pitwright.survey.readings import Located
from pitwright.survey.stubs import Stub
from pitwright.tolerance.slips import Slips
from pitwright.trains.cut_list import Bend, CutList, Piece
from pitwright.trains.train import Train
from pitwright.units.spread import Limit, sigma_from

__all__ = ["Cause", "Six", "Turning", "Walked", "causes", "direction_is_taped", "walked"]

Six = tuple[float, float, float, float, float, float]


@dataclass(frozen=True, slots=True)
class Cause:
    """One error: its name and what one sigma of it does at the closing joint (6). [m, rad]"""

    name: str
    effect: Six


@dataclass(frozen=True, slots=True)
class Turning:
    """A corner that can be rolled about the leg before it: its bend, where [m], the axis. [-]"""

    name: str
    at: Vec
    axis: Vec


@dataclass(frozen=True, slots=True)
class Walked:
    """The built train: where each item begins and where the last ends [m], the leg it stands on
    by number, the joints' axes [-], and its corners."""

    points: tuple[Vec, ...]
    legs: tuple[int, ...]
    corners: tuple[Turning, ...]

    @property
    def end(self) -> Vec:
        """Where it closes. [m]"""
        return self.points[-1]


def walked(train: Train, cuts: CutList, tip: Vec) -> Walked:
    """The train laid out along its own directions from the inlet's ``tip``. [m]

    Raises Malformed when the cut list has other bends than the train. Source: mating port to port.
    """
    if sum(isinstance(i, Bend) for i in cuts.items) != train.bends:
        raise Malformed("cut list", len(cuts.items), "must be this train's", "cut it again")
    leg, ways = 0, train.directions
    at = add(tip, scale(ways[0], -cuts.inlet_cut))
    points, legs, corners = [at], [0], []
    for item in cuts.items:
        if isinstance(item, Bend):
            at = add(at, scale(ways[leg], item.before))
            corners.append(Turning(item.name, at, ways[leg]))
            leg += 1
            at = add(at, scale(ways[leg], item.after))
        else:
            at = add(at, scale(ways[leg], item.length))
        points.append(at)
        legs.append(leg)
    return Walked(tuple(points), tuple(legs), tuple(corners))


def _moved(shift: Vec, turn: Vec) -> Six:
    return (*shift, *turn)


def _along(axis: Vec, size: float) -> Six:
    return (axis[0] * size, axis[1] * size, axis[2] * size, 0.0, 0.0, 0.0)


def causes(
    train: Train, cuts: CutList, stubs: tuple[Stub, Stub], slips: Slips
) -> tuple[Cause, ...]:
    """Every independent error of one train, by name. [m, rad]

    Errors of two points taken from one corner are counted in full for both. A part's plus or
    minus becomes sigma by :func:`~pitwright.units.spread.sigma_from`. Source: small rotations.
    """
    way = walked(train, cuts, stubs[0].tip.mean)
    return (
        *_read(stubs[0], way.end, -1.0),
        *_read(stubs[1], way.end, 1.0),
        *_done(train, cuts, way, slips),
        *_parts(train, cuts, way),
    )


def direction_is_taped(stub: Stub) -> bool:
    """Whether its direction comes from two points on the pipe. Source: the survey."""
    return stub.through is not None and stub.outward_readings == stub.through.readings


def _read(stub: Stub, end: Vec, sign: float) -> Iterator[Cause]:
    """A stub's point and direction; a taped direction shares the tip's error."""
    lever = sub(end, stub.tip.mean)
    taped = direction_is_taped(stub)
    base = norm(sub(stub.tip.mean, stub.through.mean)) if taped and stub.through else 0.0
    for name, shift in _point(stub.tip, stub.tip_path):
        turn = scale(cross(stub.outward, shift), 1.0 / base) if taped else (0.0, 0.0, 0.0)
        yield Cause(name, _signed(add(shift, cross(turn, lever)), turn, sign))
    if taped and stub.through is not None:
        for name, shift in _point(stub.through, f"{stub.path}.through"):
            turn = scale(cross(stub.outward, shift), -1.0 / base)
            yield Cause(name, _signed(cross(turn, lever), turn, sign))
        return
    for axis in across(stub.outward):
        turn = scale(axis, stub.outward_sigma)
        yield Cause(f"{stub.path}.faces", _signed(cross(turn, lever), turn, sign))


def _signed(shift: Vec, turn: Vec, sign: float) -> Six:
    return _moved(scale(shift, sign), scale(turn, sign))


def _point(point: Located, path: str) -> Iterator[tuple[str, Vec]]:
    """One sigma along each axis of a point; named by its reading where there is one each."""
    rows = point.covariance
    own = len(point.readings) == 3 and all(
        abs(r.sigma.one**2 - rows[i][i]) <= 1e-9 * rows[i][i] + 1e-18
        for i, r in enumerate(point.readings)
    )
    for i, column in enumerate(_root(rows)):
        if any(column):
            yield (point.readings[i].id if own else path), column


def _root(rows: tuple[Vec, Vec, Vec]) -> tuple[Vec, Vec, Vec]:
    """Columns whose outer products add up to a covariance, flat ones too (Cholesky)."""
    low = [[0.0] * 3 for _ in range(3)]
    for j in range(3):
        square = rows[j][j] - sum(low[j][k] ** 2 for k in range(j))
        if square <= 1e-12 * rows[j][j] or square <= 0.0:
            continue
        low[j][j] = square**0.5
        for i in range(j + 1, 3):
            low[i][j] = (rows[i][j] - sum(low[i][k] * low[j][k] for k in range(j))) / low[j][j]
    a, b, c = ((low[0][j], low[1][j], low[2][j]) for j in range(3))
    return a, b, c


def _done(train: Train, cuts: CutList, way: Walked, slips: Slips) -> Iterator[Cause]:
    """Cuts, seats, fittings' angles and clockings."""
    ways = train.directions
    if cuts.inlet_cut > 0.0:
        yield Cause("cut.inlet", _along(ways[0], slips.cut.one))
    if cuts.outlet_cut > 0.0:
        yield Cause("cut.outlet", _along(ways[-1], slips.cut.one))
    legs = iter(way.legs)
    yield Cause("seats", _along(ways[next(legs)], slips.seat.one))
    for item, leg in zip(cuts.items, legs, strict=True):
        yield Cause("seats", _along(ways[leg], slips.seat.one))
        if isinstance(item, Piece):
            yield Cause(f"cut.{item.letter}", _along(minus(ways[leg]), slips.cut.one))
    for n, corner in enumerate(way.corners):
        lever = sub(corner.at, way.end)
        normal = unit(cross(ways[n], ways[n + 1]))
        for name, axis, size in (
            (f"angle.{corner.name}", normal, slips.fitting.one),
            (f"clock.{corner.name}", corner.axis, slips.clock.one),
        ):
            turn = scale(axis, size)
            yield Cause(name, _moved(cross(turn, lever), minus(turn)))


def _parts(train: Train, cuts: CutList, way: Walked) -> Iterator[Cause]:
    """Take-outs and lengths of parts that like parts differ in."""
    ways, bend = train.directions, 0
    for item, leg in zip(cuts.items, way.legs[1:], strict=True):
        if isinstance(item, Bend):
            corner = train.skeleton.corners[bend]
            for seat, on in ((corner.before, bend), (corner.after, bend + 1)):
                if seat.scatter > 0.0:
                    size = sigma_from(Limit(seat.scatter)).one
                    yield Cause(f"take-out.{item.name}", _along(ways[on], size))
            bend += 1
        elif not isinstance(item, Piece) and item.scatter > 0.0:
            size = sigma_from(Limit(item.scatter)).one
            yield Cause(f"length.{item.name}", _along(ways[leg], size))
