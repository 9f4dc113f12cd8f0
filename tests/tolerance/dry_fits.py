"""Trains built with drawn errors, dry fitted, glued: numpy only, knowing nothing of the doubt.

Real stubs are drawn about the read ones; the train is built from its cut list with wrong cuts,
seats, fittings and clockings, one pose after another. At the dry fit the pieces left long and the
bends left dry are set, by least squares over everything that gives, until they no longer change;
then marks and bends err anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pitwright.closing.rebuild import walk
from pitwright.survey.readings import Located
from pitwright.survey.stubs import Stub
from pitwright.tolerance.slips import SLIPS
from pitwright.trains.cut_list import Bend, Piece
from tests.tolerance.jobs import Work

Array = NDArray[np.float64]
_ROUNDS = 5


@dataclass(frozen=True, slots=True)
class Built:
    """Many built trains: how each misses its outlet stub, (n, 3) the way there [m] and (n, 3) the
    turn. [rad]"""

    shift: Array
    turn: Array


def turned(by: Array, v: Array) -> Array:
    """Vectors (n, 3) turned by rotation vectors (n, 3), Rodrigues."""
    size = np.linalg.norm(by, axis=1, keepdims=True)
    axis = by / np.where(size > 0.0, size, 1.0)
    along = np.sum(axis * v, axis=1, keepdims=True) * axis
    return np.asarray(
        v * np.cos(size) + np.cross(axis, v) * np.sin(size) + along * (1 - np.cos(size))
    )


class Builds:
    """``n`` draws of every error of one train; builds them as often as asked."""

    def __init__(self, work: Work, n: int, seed: int) -> None:
        self.work, self.n = work, n
        self.dice = np.random.default_rng(seed)
        self.stubs = [self._stub(s) for s in work.stubs]
        items = work.cuts.items
        self.seats = SLIPS.seat.one * self._draw(len(items) + 1)
        self.cuts = SLIPS.cut.one * self._draw(len(items))
        self.ends = SLIPS.cut.one * self._draw(2)
        self.ends[:, [c == 0.0 for c in (work.cuts.inlet_cut, work.cuts.outlet_cut)]] = 0.0
        self.angles = SLIPS.fitting.one * self._draw(len(items))
        self.clocks = self.fresh_clocks()
        self.parts = self._draw(2 * len(items))

    def _draw(self, k: int) -> Array:
        return self.dice.standard_normal((self.n, k))

    def fresh_clocks(self) -> Array:
        """How far every bend is rolled wrong. [rad]"""
        return SLIPS.clock.one * self._draw(len(self.work.cuts.items))

    def fresh_marks(self) -> Array:
        """How far every piece marked in place comes out wrong. [m]"""
        return SLIPS.mark.one * self._draw(len(self.work.cuts.items))

    def _spot(self, point: Located) -> Array:
        found = self.dice.multivariate_normal(point.mean, np.array(point.covariance), self.n)
        return np.asarray(found, dtype=np.float64)

    def _stub(self, stub: Stub) -> tuple[Array, Array]:
        """Real tips (n, 3) and outward directions (n, 3)."""
        tips = self._spot(stub.tip)
        outward = np.array(stub.outward)
        if stub.through is not None and stub.outward_readings == stub.through.readings:
            out = tips - self._spot(stub.through)
            out *= np.sign(out @ outward)[:, None]
            return tips, out / np.linalg.norm(out, axis=1, keepdims=True)
        lean = stub.outward_sigma * self._draw(3)
        lean -= np.outer(lean @ outward, outward)
        return tips, turned(lean, np.tile(outward, (self.n, 1)))

    def built(self, longer: Array, rolled: Array) -> Built:
        """Every item so much longer (n, items) [m], every bend so much farther rolled. [rad]"""
        cuts = self.work.cuts
        tips, out = self.stubs[0]
        frame = next(walk(cuts, self.work.stubs[0].tip.mean, self.work.stubs[0].outward))
        lean = np.cross(np.array(self.work.stubs[0].outward), out)
        x, z = (turned(lean, np.tile(np.array(v), (self.n, 1))) for v in (frame.x, frame.z))
        at = tips + z * (self.ends[:, :1] - cuts.inlet_cut + self.seats[:, :1])
        for n, item in enumerate(cuts.items):
            if isinstance(item, Bend):
                corner = self.work.train.skeleton.corners[self.bends_before(n)]
                wrong = [s.scatter / 3**0.5 for s in (corner.before, corner.after)]
                at = at + z * (item.before + wrong[0] * self.parts[:, 2 * n])[:, None]
                clock = item.clock + self.clocks[:, n] + rolled[:, n]
                x = turned(z * clock[:, None], x)
                angle = item.angle + self.angles[:, n]
                x, z = (turned(np.cross(z, x) * angle[:, None], v) for v in (x, z))
                at = at + z * (item.after + wrong[1] * self.parts[:, 2 * n + 1])[:, None]
            else:
                length = item.length + longer[:, n]
                if isinstance(item, Piece):
                    length = length + self.cuts[:, n]
                else:
                    length = length + item.scatter / 3**0.5 * self.parts[:, 2 * n]
                at = at + z * length[:, None]
            at = at + z * self.seats[:, n + 1 : n + 2]
        tips, out = self.stubs[1]
        goal = tips - out * (cuts.outlet_cut + self.ends[:, 1:])
        return Built(goal - at, np.cross(z, -out))

    def bends_before(self, n: int) -> int:
        """How many bends stand before an item."""
        return sum(isinstance(i, Bend) for i in self.work.cuts.items[:n])


@dataclass(frozen=True, slots=True)
class Giving:
    """Everything that gives, by columns: movements (5, k) of one unit each, the squared units of
    the pipe's give (5, 5), and which columns share one limit of 1."""

    moves: Array
    groups: tuple[tuple[int, ...], ...]
    sections: tuple[Array, ...]
    middle: Array


def giving(work: Work) -> Giving:
    """Play at every joint, seats and slides along every axis, and the two stubs' pipe."""
    bears = work.bears
    poses = list(walk(work.cuts, work.stubs[0].tip.mean, work.stubs[0].outward))
    moves: list[Array] = []
    groups: list[tuple[int, ...]] = []
    ranges = [(np.array(p.z), 0.0, bears.seat) for p in poses]
    ranges += [(np.array(a), low, high) for a, low, high in bears.slides]
    for pose in poses:
        if bears.play > 0.0:
            for axis in (np.array(pose.x), np.cross(pose.z, pose.x)):
                turn = bears.play * axis
                shift = np.cross(turn, np.array(bears.at) - np.array(pose.at))
                moves.append(flat(work, shift[None], turn[None])[0])
            groups.append((len(moves) - 2, len(moves) - 1))
    middle = np.zeros(5)
    merged: list[tuple[Array, float]] = []
    for axis, low, high in ranges:
        middle[:3] += 0.5 * (low + high) * axis
        like = next((k for k, (a, _) in enumerate(merged) if abs(a @ axis) > 0.999), None)
        half = 0.5 * (high - low)
        if like is None:
            merged.append((axis, half))
        else:
            merged[like] = (merged[like][0], merged[like][1] + half)
    for axis, half in merged:
        if half > 0.0:
            moves.append(np.array([*(half * axis), 0.0, 0.0]))
            groups.append((len(moves) - 1,))
    sections = []
    for packed in bears.sections:
        m = np.zeros((5, 5))
        m[np.triu_indices(5)] = packed
        sections.append(m + np.triu(m, 1).T)
    return Giving(np.array(moves).T, tuple(groups), tuple(sections), middle)


def flat(work: Work, shift: Array, turn: Array) -> Array:
    """Movements (n, 5): place, and the turn across the closing joint."""
    return np.hstack([shift, turn @ np.array(work.bears.across).T])


def shares(give: Giving, free: Array) -> Array:
    """The least-squares answer to a misfit of one unit each way (unknowns, 5).

    Unknowns are the pipe's own give (5), every column of ``give``, and what is ``free`` (5, k),
    which costs nothing: stationary under the condition that all add up to the misfit.
    """
    k, f = give.moves.shape[1], free.shape[1]
    cost = np.zeros((5 + k + f, 5 + k + f))
    cost[:5, :5] = sum(give.sections, np.zeros((5, 5)))
    cost[range(5, 5 + k), range(5, 5 + k)] = 1.0
    adds = np.hstack([np.eye(5), give.moves, free])
    whole = np.block([[cost, adds.T], [adds, np.zeros((5, 5))]])
    wanted = np.vstack([np.zeros((5 + k + f, 5)), np.eye(5)])
    size = 1.0 / np.sqrt(np.maximum(np.abs(whole).max(axis=0), 1e-12))
    got = np.linalg.lstsq(size[:, None] * whole * size, size[:, None] * wanted, rcond=1e-13)[0]
    return np.asarray((size[:, None] * got)[: 5 + k + f])


def fitted(builds: Builds, letters: Sequence[str], *, rolled: bool) -> Built:
    """All builds after the dry fit: set, marked and rolled with error, as they come to be glued."""
    items = builds.work.cuts.items
    give = giving(builds.work)
    held = _last_of_each_leg(builds, letters)
    bends = [n for n, i in enumerate(items) if isinstance(i, Bend)] if rolled else []
    longer, rolls = np.zeros((2, builds.n, len(items)))
    knobs: list[tuple[Array, int]] = [(longer, n) for n in held] + [(rolls, n) for n in bends]
    if not knobs:
        return builds.built(longer, rolls)
    quiet = Builds(builds.work, 1, 0)
    for name in ("seats", "cuts", "ends", "angles", "clocks", "parts"):
        setattr(quiet, name, 0.0 * getattr(quiet, name))
    quiet.stubs = [(np.array([s.tip.mean]), np.array([s.outward])) for s in builds.work.stubs]
    free = _moved_by(quiet, held, bends)
    answer = shares(give, free)[-len(knobs) :]
    for _ in range(_ROUNDS):
        now = builds.built(longer, rolls)
        left = flat(builds.work, now.shift, now.turn) - give.middle
        for (where, n), step in zip(knobs, answer @ left.T, strict=True):
            where[:, n] += step
    marks = builds.fresh_marks()
    for n in held:
        longer[:, n] += marks[:, n]
    if rolled:
        rolls += builds.fresh_clocks()
    return builds.built(longer, rolls)


def _moved_by(quiet: Builds, held: Sequence[int], bends: Sequence[int]) -> Array:
    """How the end moves for each knob (5, k), by a small step of it."""
    zero = np.zeros((2, 1, len(quiet.work.cuts.items)))
    base = quiet.built(zero[0], zero[1])
    found = []
    for kind, n in (*((0, n) for n in held), *((1, n) for n in bends)):
        step = zero.copy()
        step[kind, 0, n] = 1e-6
        now = quiet.built(step[0], step[1])
        moved = flat(quiet.work, base.shift - now.shift, base.turn - now.turn)
        found.append(moved[0] / 1e-6)
    return np.array(found).T


def _last_of_each_leg(builds: Builds, letters: Sequence[str]) -> list[int]:
    """Where in the cut list the held pieces stand, one a leg: two on one leg are one length."""
    found: dict[int, int] = {}
    for n, item in enumerate(builds.work.cuts.items):
        if isinstance(item, Piece) and item.letter in letters:
            found[builds.bends_before(n)] = n
    return list(found.values())


def chance_taken_up(work: Work, built: Built) -> float:
    """What share of built trains the same least-squares sharing closes, each limit kept."""
    give = giving(work)
    left = flat(work, built.shift, built.turn) - give.middle
    parts = left @ shares(give, np.zeros((5, 0))).T
    ok = np.ones(len(left), dtype=bool)
    pipe = parts[:, :5]
    for m in give.sections:
        ok &= np.einsum("ni,ij,nj->n", pipe, m, pipe) <= 1.0
    for group in give.groups:
        ok &= np.linalg.norm(parts[:, [5 + k for k in group]], axis=1) <= 1.0
    return float(ok.mean())
