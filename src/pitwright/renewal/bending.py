"""What closing a train asks of the two old stubs, and how much digging would spare them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from pitwright.closing.closing import MOST_PLAY, Closed, Joint, RigidTrain, Slide, close
from pitwright.closing.ends import Ends, FlexEnd, RigidEnd, between
from pitwright.closing.rebuild import walk
from pitwright.findings import Refusal, Short, StubId
from pitwright.flex.limits import hand_force, modulus, strain_limit
from pitwright.flex.path import path_from_tip
from pitwright.flex.section import beam
from pitwright.flex.shape import Bow, bow
from pitwright.geometry.vector import add, scale
from pitwright.renewal.ground import ground
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.cut_list import CutList
from pitwright.trains.rows import Body
from pitwright.units.kinds import CELSIUS_ZERO, INCH

__all__ = [
    "SEAT",
    "Bending",
    "Bowed",
    "Dug",
    "bending",
    "bowed",
    "flex_end",
    "rigid_train",
    "runs_into_soil",
    "stands_fast",
]

_ROOM = CELSIUS_ZERO + 23.0
_STEP = 2 * INCH
"""Digging is tried in steps of two inches: nobody digs finer. [m]"""
_MOST_DUG = 60 * INCH
"""Nobody digs farther for one joint. Judgement. [m]"""
SEAT = INCH / 32
"""How far a joint may stand out of its seat and still be home: what a cut is rounded by. [m]"""
_HAIR = 1e-9
_LEAST_BARE = INCH
"""A stub with no more bare pipe than this is taken as held fast: its joint takes up as much.
Judgement. [m]"""


@dataclass(frozen=True, slots=True)
class Dug:
    """How much more of each stub's pipe must be bare before the train closes. [m]"""

    stubs: tuple[tuple[StubId, float], ...]
    closed: Closed


@dataclass(frozen=True, slots=True)
class Bending:
    """The certified answer as the stubs lie, and the digging that would make it close (or None)."""

    now: Closed
    dug: Dug | None

    @property
    def closes(self) -> bool:
        """Proved to close as the pit lies."""
        return self.now.closes

    @property
    def judged(self) -> Closed:
        """The answer the option stands on: as it lies when that closes, else after digging."""
        return self.now if self.dug is None or self.now.closes else self.dug.closed


def bending(
    survey: Survey,
    stubs: tuple[Stub, Stub],
    cuts: CutList,
    *,
    dig: bool,
    made: frozenset[int] = frozenset(),
) -> Bending | Short:
    """Whether a train closes between two old stubs, within what they may keep for good.

    The train is taken as built from its rounded cut list; its bend may *stay*, so the staying
    strain limits count, and a person's steady push. Where it does not close and ``dig`` is asked
    for, the least digging at either stub is looked for. ``made`` are joints that hold already,
    counted from 0 at the inlet stub: they give nothing. A Short when it does not close and no
    digging within reach helps, or none was asked for. [m, rad, N] Source: docs/decisions/0005.
    """
    train = rigid_train(survey, stubs, cuts, made)
    now = close(_ends(survey, stubs, cuts, (0.0, 0.0)), train)
    if now.closes:
        return Bending(now, None)
    dug = _digging(survey, stubs, cuts, train) if dig else None
    if dug is not None:
        return Bending(now, dug)
    where = stubs[0].id if now.stub == "inlet" else stubs[1].id
    code = "STRAIN" if now.governs == "strain" else "FORCE"
    return Short(code, where, now.lower, 1.0, now.lower - 1.0, "1", "mechanical_joint")


def stands_fast(survey: Survey, stub: Stub, cut: float) -> bool:
    """Whether a stub, ``cut`` [m] back, cannot move at all. Source: the survey; judgement."""
    return isinstance(flex_end(survey, stub, cut), RigidEnd)


def rigid_train(
    survey: Survey,
    stubs: tuple[Stub, Stub],
    cuts: CutList,
    made: frozenset[int] = frozenset(),
) -> RigidTrain:
    """The built train with its joints: each allows a little play and a little seat, but for those
    already ``made``. [m, rad]

    A telescoping or stop-less coupling slides within what it may span.
    Source: the survey's preference for play; SEAT.
    """
    play = min(survey.preferences.play, MOST_PLAY)
    *poses, end = walk(cuts, stubs[0].tip.mean, stubs[0].outward)
    joints = tuple(
        Joint(pose.at, pose.z, play, SEAT)
        for number, pose in enumerate((*poses, end))
        if number not in made
    )
    slides = tuple(
        Slide(pose.z, -item.give - item.pulled, item.give - item.pulled)
        for pose, item in zip(poses, cuts.items, strict=True)
        if isinstance(item, Body) and item.give > 0.0
    )
    return RigidTrain(end.at, end.z, joints, slides)


def _digging(
    survey: Survey, stubs: tuple[Stub, Stub], cuts: CutList, train: RigidTrain
) -> Dug | None:
    """The least digging, at one stub alone or at both alike, in steps of two inches."""
    best: tuple[float, Dug] | None = None
    for shares in _sharing(stubs):
        steps = math.ceil(_MOST_DUG / _STEP)
        for n in range(1, steps + 1):
            extra = n * _STEP
            if best is not None and extra * sum(shares) >= best[0]:
                break
            more = (extra * shares[0], extra * shares[1])
            got = close(_ends(survey, stubs, cuts, more), train, above=1.0)
            if got.closes:
                full = close(_ends(survey, stubs, cuts, more), train)
                told = tuple((s.id, m) for s, m in zip(stubs, more, strict=True) if m > 0.0)
                best = (sum(more), Dug(told, full))
                break
    return None if best is None else best[1]


def runs_into_soil(stub: Stub) -> bool:
    """Whether its pipe goes on into the soil, so that digging frees more of it.

    A fitting right behind ends it, one that is named or where the cut-back ends. Source: survey.
    """
    ended = len(stub.bare) == 1 and bool(stub.behind)
    return bool(stub.bare) and not ended and stub.bare[0].length > stub.cut_back + _LEAST_BARE


def _sharing(stubs: tuple[Stub, Stub]) -> Iterator[tuple[float, float]]:
    """Which stubs have pipe that goes on into the soil: a fitting right behind ends it."""
    runs_on = [runs_into_soil(s) for s in stubs]
    if runs_on[1]:
        yield (0.0, 1.0)
    if runs_on[0]:
        yield (1.0, 0.0)
    if all(runs_on):
        yield (1.0, 1.0)


def _ends(
    survey: Survey, stubs: tuple[Stub, Stub], cuts: CutList, more: tuple[float, float]
) -> Ends:
    ends = [
        flex_end(survey, stub, cut, extra)
        for stub, cut, extra in zip(stubs, (cuts.inlet_cut, cuts.outlet_cut), more, strict=True)
    ]
    return between(ends[0], ends[1], hand_force())


def flex_end(
    survey: Survey, stub: Stub, cut: float = 0.0, extra: float = 0.0
) -> FlexEnd | RigidEnd:
    """A stub that bends, or one that must not or cannot: no bare pipe, or pipe that breaks.

    ``cut`` [m] comes off its tip, ``extra`` [m] more is bare. Source: the survey.
    """
    tip = add(stub.tip.mean, scale(stub.outward, -cut))
    rigid = RigidEnd(tip, stub.outward)
    if stub.glued is not None:
        old = flex_end(survey, stub.glued.old, stub.glued.cut, extra)
        return rigid if isinstance(old, RigidEnd) else replace(old, beyond=(tip, stub.outward))
    pipe = stub.pipe
    if pipe is None or not stub.bare or stub.bare[0].length - cut <= _LEAST_BARE + _HAIR:
        return rigid
    warm = survey.conditions.pipe.value if survey.conditions and survey.conditions.pipe else _ROOM
    limit = _limit(pipe.material, stub.condition, warm)
    if limit is None:
        return rigid
    stiff = _stiffness(pipe.material, warm)
    section = beam(pipe.od.value, pipe.wall.value, stiff[0], stiff[1])
    first, *rest = [(s.direction, s.length) for s in stub.bare]
    held = ground(survey, stub)
    soil = held.stiffness if held else None
    path = path_from_tip(tip, [(first[0], first[1] - cut), *rest], section, soil)
    return FlexEnd(path.dug(extra) if extra > 0.0 else path, limit)


@dataclass(frozen=True, slots=True)
class Bowed:
    """A stub's bare path as closing bends it: points from the soil to the tip, and their move. [m]

    Source: the closing's wrench.
    """

    stub: StubId
    line: Bow


def bowed(
    survey: Survey, stubs: tuple[Stub, Stub], cuts: CutList, bent: Bending
) -> tuple[Bowed, ...]:
    """What bends, and how, when the option is closed as it is judged (after digging, if any). [m]

    Source: the wrench of the closing pulls the inlet stub, its opposite the outlet stub.
    """
    dug = dict(bent.dug.stubs) if bent.dug is not None and not bent.closes else {}
    more = (dug.get(stubs[0].id, 0.0), dug.get(stubs[1].id, 0.0))
    ends = _ends(survey, stubs, cuts, more)
    a, b, c, d, e, f = bent.judged.wrench
    found = []
    for stub, end, wrench in (
        (stubs[0], ends.inlet, (a, b, c, d, e, f)),
        (stubs[1], ends.outlet, (-a, -b, -c, -d, -e, -f)),
    ):
        if isinstance(end, FlexEnd):
            found.append(Bowed(stub.id, bow(end.path, wrench, ends.at)))
    return tuple(found)


@lru_cache(maxsize=64)
def _limit(material: str, condition: str, warm: float) -> float | None:
    got = strain_limit(material, condition, warm)
    if isinstance(got, Refusal) or got.staying <= 0.0:
        return None
    return got.staying


@lru_cache(maxsize=64)
def _stiffness(material: str, warm: float) -> tuple[float, float]:
    got = modulus(material, warm)
    return got.value, got.poisson
