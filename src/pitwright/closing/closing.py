"""Does this train close: the misfit shared between flex, play, seats and uncut length."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.closing.ends import Ends, Spot, five
from pitwright.closing.minimax import Bounds, Disc, Five, minimax
from pitwright.errors import OutOfRange
from pitwright.flex.compliance import Place, Vec6
from pitwright.geometry.vector import (
    Vec,
    across,
    add,
    angle_between,
    cross,
    dot,
    minus,
    norm,
    scale,
    sub,
)

__all__ = [
    "DEFAULT_PLAY",
    "LEAST_SHARE",
    "MOST_PLAY",
    "Closed",
    "Joint",
    "RigidTrain",
    "Slide",
    "close",
    "misfit",
]

DEFAULT_PLAY = math.radians(0.25)
"""What a cemented socket allows to any side; threads and schedule 80: 0. Judgement. [rad]"""
MOST_PLAY = math.radians(0.5)
"""The planner never counts on more than this; the kernel takes what it is given. [rad]"""

LEAST_SHARE = 0.01
"""Closing that takes less than this share of every limit is called no bending: it is neither said
nor drawn. Judgement. [-]"""


@dataclass(frozen=True, slots=True)
class Joint:
    """A joint of the train: where [m], its axis from inlet to outlet (unit), play to any side
    [rad], and how far it may stand out of its seat. [m]"""

    at: Vec
    axis: Vec
    play: float
    seat: float = 0.0


@dataclass(frozen=True, slots=True)
class Slide:
    """A length still free: the train may be longer along a unit axis by low to high. [m]"""

    axis: Vec
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class RigidTrain:
    """A train as planned: where its far end comes to lie [m], which way it points there (unit,
    out of the train), its joints from inlet to outlet and its free lengths."""

    end: Vec
    way: Vec
    joints: tuple[Joint, ...] = ()
    slides: tuple[Slide, ...] = ()


@dataclass(frozen=True, slots=True)
class Closed:
    """The least worst ratio lies between lower and upper [-]; upper is reached by what follows.

    ``wrench`` (F, M) pulls the inlet stub at the closing point, its opposite the outlet stub; it
    stays in the pipe as springing until the set time is over. [N, N·m] ``strain`` is the worst
    strain ratio and ``peak`` where (None when both ends are rigid); ``push`` the force ratio;
    ``governs`` the worse of them. ``tilts`` are the joints' shares of play, rotation vectors
    [rad], ``longer`` what seats and free lengths add along each axis [m]. ``misfit`` (6) is what
    had to be taken up. [m, rad]
    """

    upper: float
    lower: float
    wrench: Vec6
    strain: float
    push: float
    governs: str
    stub: str | None
    peak: Place | None
    misfit: Vec6
    tilts: tuple[Vec, ...]
    longer: tuple[tuple[Vec, float], ...]
    rounds: int

    @property
    def closes(self) -> bool:
        """Proved: within all limits."""
        return self.upper <= 1.0

    @property
    def cannot(self) -> bool:
        """Proved: beyond them however it is shared out. Neither means within the bounds' gap."""
        return self.lower > 1.0

    @property
    def bends(self) -> bool:
        """Worth a word and a line: at least LEAST_SHARE of a limit is taken."""
        return self.upper >= LEAST_SHARE

    @property
    def force(self) -> float:
        """|F|, which hands must hold and which springs back. [N]"""
        return math.hypot(*self.wrench[:3])

    @property
    def springing(self) -> tuple[float, float]:
        """What is left in the joint to be braced for the set time: |F| [N] and |M| [N·m]."""
        return self.force, math.hypot(*self.wrench[3:])


def misfit(end: Vec, way: Vec, tip: Vec, outward: Vec) -> Vec6:
    """From a train's far end and way to a stub's tip and mouth: (shift, turn), (6). [m, rad]

    The turn is the shortest rotation vector that makes the train point into the stub.
    Source: textbook mechanics.
    """
    into = minus(outward)
    axis = cross(way, into)
    size = norm(axis)
    angle = angle_between(way, into)
    # dead straight, or dead against, any axis across serves
    turn = scale(axis, angle / size) if size > 0.0 else scale(across(way)[0], angle)
    shift = sub(tip, end)
    return (*shift, *turn)


def _tilts(joint: Joint, at: Vec, pair: tuple[Vec, Vec]) -> tuple[Disc, tuple[Vec, Vec]]:
    """What a full tilt about two axes does at the closing point (5 each)."""
    lever = sub(at, joint.at)
    axes = across(joint.axis)
    columns = []
    for axis in axes:
        turn = scale(axis, joint.play)
        columns.append(five((*cross(turn, lever), *turn), pair))
    return (columns[0], columns[1]), axes


def _ranges(train: RigidTrain) -> list[tuple[Vec, float, float]]:
    """Free lengths and seats, one range [m] for each way they run."""
    out: list[tuple[Vec, float, float]] = []
    for axis, low, high in (
        *((j.axis, 0.0, j.seat) for j in train.joints),
        *((s.axis, s.low, s.high) for s in train.slides),
    ):
        if not low <= high:
            raise OutOfRange("free length", low, "any", high, "give the low end first")
        for i, (known, a, b) in enumerate(out):
            same = dot(known, axis)
            if abs(same) > 1.0 - 1e-12:
                out[i] = (known, a + low, b + high) if same > 0.0 else (known, a - high, b - low)
                break
        else:
            out.append((axis, low, high))
    return [r for r in out if r[1] != 0.0 or r[2] != 0.0]


def close(
    ends: Ends,
    train: RigidTrain,
    *,
    within: float = 0.02,
    nothing: float = 0.002,
    above: float = math.inf,
) -> Closed:
    """The least worst ratio at which a train closes between two stubs, with proof from both sides.

    The misfit is shared between bending both stubs, play in the joints (a cone to any side),
    seats not quite reached and lengths not yet cut, so that the worst of all strain ratios and
    the hands' force ratio is least [-]. ``within``, ``nothing`` and ``above`` as in
    :func:`~pitwright.closing.minimax.minimax`; ``above=1`` saves time when only "closes" matters.
    Raises OutOfRange for play or seats below 0 and ranges upside down. Source: design study.
    """
    for i, joint in enumerate(train.joints):
        if not 0.0 <= joint.play < 1.0:
            raise OutOfRange(f"joint {i} play", joint.play, 0.0, 1.0, "give it in radians")
        if not joint.seat >= 0.0:
            raise OutOfRange(f"joint {i} seat", joint.seat, 0.0, "any", "0 is fully home")
    whole = misfit(train.end, train.way, ends.tip, ends.axis)
    start = five(whole, ends.across)
    discs, axes = [], []
    for joint in train.joints:
        disc, pair = _tilts(joint, ends.at, ends.across)
        discs.append(disc)
        axes.append((joint.play, pair))
    ranges = _ranges(train)
    for axis, low, high in ranges:
        middle, half = 0.5 * (low + high), 0.5 * (high - low)
        start = (
            start[0] - middle * axis[0],
            start[1] - middle * axis[1],
            start[2] - middle * axis[2],
            start[3],
            start[4],
        )
        discs.append(((*scale(axis, half), 0.0, 0.0), _NONE))
    bounds = minimax(ends.sections, start, discs, within=within, nothing=nothing, above=above)
    return _told(ends, whole, bounds, axes, ranges)


_NONE: Five = (0.0, 0.0, 0.0, 0.0, 0.0)


def _told(
    ends: Ends,
    whole: Vec6,
    bounds: Bounds,
    axes: list[tuple[float, tuple[Vec, Vec]]],
    ranges: list[tuple[Vec, float, float]],
) -> Closed:
    """The bounds with everything a person asks about them."""
    wrench = ends.wrench(bounds.y)
    worst, strain = _worst(ends.spots, wrench)
    push = math.hypot(*wrench[:3]) / ends.hands
    tilts = tuple(
        add(scale(one, play * a), scale(two, play * b))
        for (play, (one, two)), (a, b) in zip(axes, bounds.shares, strict=False)
    )
    longer = tuple(
        (axis, 0.5 * (low + high) + 0.5 * (high - low) * share)
        for (axis, low, high), (share, _) in zip(ranges, bounds.shares[len(axes) :], strict=True)
    )
    return Closed(
        bounds.upper,
        bounds.lower,
        ends.full(wrench),
        strain,
        push,
        "strain" if strain >= push else "force",
        None if worst is None else worst.stub,
        None if worst is None else worst.place,
        whole,
        tilts,
        longer,
        bounds.rounds,
    )


def _worst(spots: Iterable[Spot], wrench: Five) -> tuple[Spot | None, float]:
    worst, most = None, 0.0
    for spot in spots:
        ratio = spot.strain(wrench) / spot.limit
        if worst is None or ratio > most * (1.0 + 1e-12):
            worst, most = spot, ratio
    return worst, most
