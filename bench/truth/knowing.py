"""A small planner of its own, for who knows where the stubs really lie, and for who plans by hand.

Sequences of up to three bends and, for the elbow box, four; every end straight on or coupled; the
valve on each leg. Lengths and clockings by bounded least squares from several starts. The one who
knows is given the true stubs; by hand the stubs are taken as square, as measured from centre to
centre.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, product

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bench.truth.building import Bend, Body, Item, Piece, Recipe
from bench.truth.pits import INCH, TILT, Root
from pitwright.catalogue.shelf import Shelf
from pitwright.geometry.vector import Vec, across, add, cross, dot, norm, scale, sub

Floats = NDArray[np.float64]
GAP = INCH / 8
"""Bare pipe left between two sockets. Judgement."""
GIRTH = 0.85 * INCH
"""Outside radius of a fitting of 1 in, or a little more."""
MOST_TRIED = 400
"""Starts from which it looks for a train: then it gives up."""
MOST_STEPS = 20
SEQUENCES = (
    (),
    (45.0, 45.0),
    (90.0,),
    (90.0, 90.0),
    (45.0,),
    (45.0, 90.0, 45.0),
    (45.0, 90.0),
    (90.0, 45.0),
    (90.0, 90.0, 90.0, 90.0),
    (90.0, 90.0, 90.0),
    (45.0, 45.0, 90.0),
    (90.0, 45.0, 45.0),
)


@dataclass(frozen=True)
class Stub:
    """What a planner has in mind of a stub: tip, outward, what may be cut, how long a coupling on
    it is from seat to seat [m], and whether its pipe goes into the fittings of 1 in."""

    tip: Vec
    outward: Vec
    cut: float
    coupler: float
    fits: bool
    bears: float


@dataclass(frozen=True)
class Parts:
    """Nominal take-outs and depths of 1 in: bends by degrees; and how far like parts differ."""

    takeout: dict[float, float]
    within: dict[float, float]
    depth: float
    coupling: float
    coupling_within: float
    valve: float


@dataclass(frozen=True)
class Around:
    """The hole and the root."""

    room: tuple[Vec, Vec]
    root: Root | None


def parts_of(shelf: Shelf, valve: float) -> Parts:
    """The shelf's typical parts of 1 in."""
    takeout, within, depths = {}, {}, []
    for angle in (45.0, 90.0):
        port = _fitting(shelf, "elbow", "1", angle)[0]
        takeout[angle], within[angle] = port[0], port[1]
        depths.append(port[2])
    both = _fitting(shelf, "coupling", "1", 0.0)
    depths.append(both[0][2])
    return Parts(
        takeout, within, max(depths), both[0][0] + both[1][0], both[0][1] * math.sqrt(2), valve
    )


def _fitting(shelf: Shelf, kind: str, size: str, angle: float) -> list[tuple[float, float, float]]:
    got = shelf.fitting(kind, size, angle, "40")
    if got is None:
        raise LookupError(f"no {kind} of {size}")
    return [
        (p.takeout.value, (p.takeout.high - p.takeout.low) / 2, p.depth.value)
        for p in got.ports[:2]
    ]


def coupler_length(shelf: Shelf, pipe: str) -> float:
    """Seat to seat of what joins this pipe to pipe of 1 in: a coupling, bushed where it must be."""
    size = pipe.split(" ")[0]
    greater = "1-1/4" if size == "1-1/4" else "1"
    plain = sum(t for t, _, _ in _fitting(shelf, "coupling", greater, 0.0))
    if size == "1":
        return plain
    bushing = shelf.fitting("bushing", "1 x 3/4" if size == "3/4" else "1-1/4 x 1", 0.0, "40")
    return plain + (bushing.seat_to_seat if bushing else 0.0)


@dataclass(frozen=True)
class Skeleton:
    """Bends in degrees, how each end begins, and the valve's leg; ``fixed`` sums of each leg and
    the number of its pieces."""

    bends: tuple[float, ...]
    coupled: tuple[bool, bool]
    leg: int


def skeletons(ends: tuple[Stub, Stub], most: int = 4) -> Iterator[Skeleton]:
    """Every skeleton, the simplest first."""
    for bends in SEQUENCES:
        if len(bends) > most:
            continue
        for coupled in product((False, True), repeat=2):
            if len(bends) > 3 and any(c and e.fits for c, e in zip(coupled, ends, strict=True)):
                continue
            if any(not c and not e.fits for c, e in zip(coupled, ends, strict=True)):
                continue
            for leg in range(len(bends) + 1):
                yield Skeleton(bends, (coupled[0], coupled[1]), leg)


def _row(s: Skeleton, leg: int, ends: tuple[Stub, Stub], parts: Parts) -> list[Body | None]:
    """Straight bodies of a leg in order; None for each piece of pipe."""
    last = len(s.bends)
    stands: list[Body | str] = ["stub" if leg == 0 else "bend"]
    if leg == 0 and s.coupled[0]:
        stands.append(Body(ends[0].coupler, parts.coupling_within))
    if leg == s.leg:
        stands.append(Body(parts.valve, 0.0, valve=True))
    if leg == last and s.coupled[1]:
        stands.append(Body(ends[1].coupler, parts.coupling_within))
    stands.append("stub" if leg == last else "bend")
    out: list[Body | None] = []
    for a, b in pairwise(stands):
        if isinstance(a, Body):
            out.append(a)
        if "stub" not in (a, b):
            out.append(None)
    return out


@dataclass(frozen=True)
class _Problem:
    ends: tuple[Stub, Stub]
    bends: tuple[float, ...]
    fixed: tuple[float, ...]
    pieces: tuple[int, ...]
    low: Floats
    high: Floats
    frame: tuple[Vec, Vec]

    def ways(self, x: Sequence[float]) -> list[Vec]:
        """Leg directions from the clockings."""
        z, side = self.ends[0].outward, self.frame[0]
        out = [z]
        for angle, clock in zip(self.bends, x, strict=False):
            c, s = math.cos(math.radians(angle)), math.sin(math.radians(angle))
            to = add(scale(side, math.cos(clock)), scale(cross(z, side), math.sin(clock)))
            z, side = add(scale(z, c), scale(to, s)), add(scale(to, c), scale(z, -s))
            out.append(z)
        return out

    def lengths(self, x: Sequence[float]) -> list[float]:
        """Legs: what is fixed, less the stubs' cuts, plus the pieces."""
        n = len(self.bends)
        legs = list(self.fixed)
        legs[0] -= x[n]
        legs[-1] -= x[n + 1]
        for leg, count in enumerate(self.pieces):
            legs[leg] += x[n + 2 + leg] if count else 0.0
        return legs

    def misses(self, given: Floats) -> list[float]:
        """What is left at the far stub: sixteenths of an inch, then degrees."""
        x = given.tolist()
        ways = self.ways(x)
        end = self.ends[0].tip
        for way, leg in zip(ways, self.lengths(x), strict=True):
            end = add(end, scale(way, leg))
        far = sub(end, self.ends[1].tip)
        facing = self.ends[1].outward
        turn = cross(facing, ways[-1])
        if dot(ways[-1], facing) > 0.0:
            turn = scale(turn, 2.0 / max(1e-9, norm(turn)))
        return [*(v / (INCH / 16) for v in far), *(v / math.radians(1.0) for v in turn)]


def lay(
    ends: tuple[Stub, Stub], parts: Parts, around: Around | None, within: float, most: int = 4
) -> Iterator[Recipe]:
    """Recipes that meet the far stub within ``within`` sixteenths (or degrees) in all, simplest
    first; where ``around`` is given, clear of it."""
    tried = 0
    for s in skeletons(ends, most):
        p = _problem(s, ends, parts)
        for start in _starts(p):
            if tried >= MOST_TRIED:
                return
            tried += 1
            got = least_squares(
                p.misses, start, bounds=(p.low, p.high), x_scale=np.array(
                    [1.0] * len(s.bends) + [INCH] * (len(start) - len(s.bends))
                ), max_nfev=MOST_STEPS, ftol=1e-4, xtol=1e-6,
            )  # fmt: skip
            if math.hypot(*got.fun) > within or not _level(p, got.x, s.leg):
                continue
            if around is not None and not _clear(p, got.x, around):
                continue
            yield _recipe(s, p, got.x, ends, parts)
            break


def _problem(s: Skeleton, ends: tuple[Stub, Stub], parts: Parts) -> _Problem:
    legs = len(s.bends) + 1
    fixed, pieces, least = [], [], []
    for leg in range(legs):
        row = _row(s, leg, ends, parts)
        near = parts.takeout[s.bends[leg - 1]] if leg else 0.0
        far = parts.takeout[s.bends[leg]] if leg < legs - 1 else 0.0
        fixed.append(near + far + sum(b.length for b in row if b is not None))
        pieces.append(sum(b is None for b in row))
        least.append(pieces[-1] * (2 * parts.depth + GAP))
    n = len(s.bends)
    low = np.array([-4.0] * n + [0.0, 0.0] + least)
    high = np.array([4.0] * n + [max(e.cut, 1e-9) for e in ends] + [60 * INCH] * legs)
    return _Problem(ends, s.bends, tuple(fixed), tuple(pieces), low, high, across(ends[0].outward))


def _starts(p: _Problem) -> Iterator[Floats]:
    """Clockings to start from: the first bend toward the far stub, later ones back or on."""
    n = len(p.bends)
    first, second = (np.array(v) for v in p.frame)
    gap = np.array(p.ends[1].tip) - np.array(p.ends[0].tip)
    toward = math.atan2(float(gap @ second), float(gap @ first))
    firsts = [toward] if n < 3 else [toward, toward + math.pi / 2, toward - math.pi / 2, 0.0]
    choices: dict[int, list[tuple[float, ...]]] = {
        0: [()],
        1: [()],
        2: [(math.pi - 0.01,), (0.01,), (1.6,), (-1.6,)],
        3: [(0.01, 0.01), (math.pi - 0.01, 0.01), (0.01, math.pi - 0.01), (1.6, -1.6)],
        4: [(math.pi - 0.01, 0.01, math.pi - 0.01), (math.pi - 0.01, 0.01, 0.01)],
    }
    for a, rest in product(firsts if n else [0.0], choices[n]):
        clock = [math.remainder(v, 2 * math.pi) for v in ((a, *rest) if n else ())]
        x = np.array([*clock, *p.low[n:]])
        x[n + 2 :] += 2 * INCH
        yield np.clip(x, p.low + 1e-9, p.high - 1e-10)


def _level(p: _Problem, x: Floats, leg: int) -> bool:
    return abs(float(p.ways(x.tolist())[leg][2])) <= math.sin(TILT) + 1e-6


def _clear(p: _Problem, x: Floats, around: Around) -> bool:
    """Every quarter inch of the axis is a fitting's radius from walls and root."""
    at = np.array(p.ends[0].tip)
    spots = []
    for way, leg in zip(p.ways(x.tolist()), p.lengths(x.tolist()), strict=True):
        count = max(2, int(abs(leg) / (INCH / 4)))
        spots += [at + np.array(way) * (leg * k / count) for k in range(count + 1)]
        at = at + np.array(way) * leg
    line = np.array(spots)
    low, high = (np.array(v) for v in around.room)
    if np.any(line < low + GIRTH) or np.any(line > high - GIRTH):
        return False
    if around.root is None:
        return True
    a, b = np.array(around.root.start), np.array(around.root.end)
    t = np.clip((line - a) @ (b - a) / float((b - a) @ (b - a)), 0.0, 1.0)
    far = np.linalg.norm(line - a - t[:, None] * (b - a), axis=1)
    return bool(np.min(far) >= GIRTH + around.root.radius)


def _recipe(s: Skeleton, p: _Problem, x: Floats, ends: tuple[Stub, Stub], parts: Parts) -> Recipe:
    n = len(s.bends)
    items: list[Item] = []
    least = 2 * parts.depth
    for leg in range(n + 1):
        row = _row(s, leg, ends, parts)
        share = x[n + 2 + leg] / max(1, p.pieces[leg])
        for body in row:
            items.append(Piece(float(share), least) if body is None else body)
        if leg < n:
            t, w = parts.takeout[s.bends[leg]], parts.within[s.bends[leg]]
            items.append(Bend(math.radians(s.bends[leg]), float(x[leg]), t, t, w))
    return Recipe((float(x[n]), float(x[n + 1])), tuple(items))


def squared(stub: Stub) -> Stub:
    """As the eye takes it: along the nearest of the six ways."""
    main = max(range(3), key=lambda i: abs(stub.outward[i]))
    way = [0.0, 0.0, 0.0]
    way[main] = math.copysign(1.0, stub.outward[main])
    return Stub(stub.tip, (way[0], way[1], way[2]), stub.cut, stub.coupler, stub.fits, stub.bears)
