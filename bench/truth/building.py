"""Building a recipe in the true pit: cut, seat and turn with error, trim what was left long.

A recipe is what a plan says to do, in our own words. Parts as bought differ from their sheets, cuts
from their marks, joints stand out, bends are turned past their marks. What comes out is where the
last joint stands against the stub it should meet.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from bench.truth.errors import World
from bench.truth.pits import INCH, TruePit, dice_for
from pitwright.geometry.pose import IDENTITY, Pose, facing
from pitwright.geometry.vector import Vec, add, cross, dot, minus, scale, sub

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Body:
    """A straight fitting, seat to seat; ``within`` is how far a like part may differ; ``give`` is
    the range of its own travel. Made of the valve where ``valve`` is set."""

    length: float
    within: float = 0.0
    give: tuple[float, float] = (0.0, 0.0)
    valve: bool = False


@dataclass(frozen=True)
class Bend:
    """A corner, clocked against the bend before it (the first against plumb)."""

    angle: float
    clock: float
    before: float
    after: float
    within: float = 0.0


@dataclass(frozen=True)
class Piece:
    """A piece of pipe; ``least`` fills both sockets; ``late`` when it is cut after the dry fit."""

    length: float
    least: float
    late: bool = False


Item = Body | Bend | Piece


@dataclass(frozen=True)
class Recipe:
    """Cut off each stub, then every item from inlet to outlet. ``rolls``: bends left dry to turn;
    ``dug``: how much more of each stub is bared; ``short``: how far each joint is meant to stand
    out on average, so that what is a hair too long can still be driven home; ``again``: how often
    all is put together dry once more, and what then stands off is marked anew."""

    cuts: tuple[float, float]
    items: tuple[Item, ...]
    rolls: bool = False
    dug: tuple[float, float] = (0.0, 0.0)
    short: float = 0.0
    again: int = 0

    @property
    def late(self) -> tuple[int, ...]:
        return tuple(n for n, i in enumerate(self.items) if isinstance(i, Piece) and i.late)


@dataclass(frozen=True)
class Built:
    """The last joint. ``shift`` and ``turn`` (no roll) bring it onto the stub; ``joints`` are each
    joint's place and axis, ``slides`` what bodies still give along an axis."""

    shift: Vec
    turn: Vec
    at: Vec
    axis: Vec
    joints: tuple[tuple[Vec, Vec], ...]
    slides: tuple[tuple[Vec, float, float], ...]
    cuts: tuple[float, float]

    @property
    def miss(self) -> float:
        return math.hypot(*self.shift)


def _moved(pose: Pose, by: float) -> Pose:
    return pose @ Pose(IDENTITY.x, IDENTITY.y, IDENTITY.z, (0.0, 0.0, by))


def _leant(pose: Pose, by: float) -> Pose:
    c, s = math.cos(by), math.sin(by)
    return pose @ Pose((c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c), (0.0, 0.0, 0.0))


def laid(
    pit: TruePit, items: Sequence[Item], cuts: tuple[float, float], stands: Sequence[float]
) -> Built:
    """The items walked one after another from the true inlet; ``stands`` is each joint's
    stand-out."""
    pose = _moved(facing(pit.inlet.tip, pit.inlet.outward), stands[0] - cuts[0])
    joints, slides = [(pose.at, pose.z)], []
    for item, stand in zip(items, stands[1:], strict=True):
        if isinstance(item, Bend):
            pose = _leant(_moved(pose, item.before).rolled(item.clock), item.angle)
            pose = _moved(pose, item.after + stand)
        else:
            if isinstance(item, Body) and item.give != (0.0, 0.0):
                slides.append((pose.z, *item.give))
            pose = _moved(pose, item.length + stand)
        joints.append((pose.at, pose.z))
    out = pit.outlet
    there = add(out.tip, scale(out.outward, -cuts[1]))
    want = minus(out.outward)
    turn = cross(pose.z, want)
    size = math.hypot(*turn)
    angle = math.atan2(size, dot(pose.z, want))
    turn = scale(turn, angle / size) if size > 1e-15 else (0.0, 0.0, 0.0)
    shift = sub(there, pose.at)
    return Built(shift, turn, pose.at, pose.z, tuple(joints), tuple(slides), cuts)


@dataclass(frozen=True)
class Job:
    """What is common to one job's parts."""

    batch: float
    takeout: float
    thread: float


def _job(world: World, dice: Random) -> Job:
    off = dice.random() < world.thread_off
    thread = dice.choice((-1.0, 1.0)) * world.pitch if off else 0.0
    return Job(world.err(dice, world.batch_angle), dice.uniform(-1, 1) * world.takeout_bias, thread)


def _as_bought(pit: TruePit, item: Item, world: World, job: Job, dice: Random) -> Item:
    """One item as it comes out of the bag, the saw or the hands."""

    def part(within: float) -> float:
        return dice.uniform(-1.0, 1.0) * within * world.takeout_spread

    if isinstance(item, Piece):
        cut = item.length if item.late else item.length + world.err(dice, world.cut)
        return Piece(cut, item.least, item.late)
    if isinstance(item, Body):
        if item.valve:
            return Body(pit.valve + job.thread, give=item.give, valve=True)
        return Body(item.length + part(item.within), give=item.give)
    return Bend(
        item.angle + job.batch + world.err(dice, world.fitting),
        item.clock + world.err(dice, world.clock),
        item.before + job.takeout + part(item.within),
        item.after + job.takeout + part(item.within),
    )


def build(pit: TruePit, recipe: Recipe, world: World, attempt: str = "") -> Built:
    """The recipe built once. Late pieces are marked and rolls set where the last joint then meets
    the stub best, as seen at the dry fit."""
    dice = dice_for(pit.seed, f"building, {world.name}{attempt}")
    job = _job(world, dice)
    items = [_as_bought(pit, i, world, job, dice) for i in recipe.items]
    off = tuple(max(0.0, c + world.err(dice, world.cut)) if c > 0.0 else c for c in recipe.cuts)
    cuts = (off[0], off[1])
    stands = [world.err(dice, world.seat) for _ in range(len(items) + 1)]
    if not recipe.late and not recipe.rolls:
        return laid(pit, items, cuts, stands)
    seen = [s + world.err(dice, world.dry) + recipe.short for s in stands]
    turned = [n for n, i in enumerate(items) if isinstance(i, Bend)] if recipe.rolls else []
    for time in range(1 + recipe.again):
        want = _fitted(pit, items, cuts, seen, recipe.late, turned)
        items = _marked(items, want, (recipe.late, turned), world, dice, first=time == 0)
    return laid(pit, items, cuts, stands)


AGAIN_LENGTH, AGAIN_TURN = INCH / 16, math.radians(1.0)
"""What stands off by less at a second dry fit is left as it is."""


def _marked(
    items: Sequence[Item],
    want: Sequence[Item],
    free: tuple[Sequence[int], Sequence[int]],
    world: World,
    dice: Random,
    *,
    first: bool,
) -> list[Item]:
    """Pieces cut and bends set as wanted, each with its own error; later only what stands off. A
    piece that came too short is cut from new pipe."""
    out = list(items)
    for n in (*free[0], *free[1]):
        was, now = items[n], want[n]
        if isinstance(was, Piece) and isinstance(now, Piece):
            longer = now.length - was.length
            if first or abs(longer) > AGAIN_LENGTH:
                out[n] = Piece(now.length + world.err(dice, world.mark), now.least, True)
        if isinstance(was, Bend) and isinstance(now, Bend):
            turn = now.clock - was.clock
            if first or abs(turn) > AGAIN_TURN:
                out[n] = replace(now, clock=now.clock + world.err(dice, world.clock))
    return out


EIGHTH = INCH / 8
_LEAN = math.radians(3.0)
"""Over two sockets' depth a lean of three degrees is an eighth, and as plain to see."""
_MOST_TURNED = math.radians(15.0)
_LONGER = 2 * INCH
"""So much longer is a piece left that will be trimmed."""


def _weighed(built: Built) -> Floats:
    """What the eye sees at the dry fit: an eighth aside counts as much as three degrees."""
    pos = [v / EIGHTH for v in built.shift]
    return np.array([*pos, *(v / _LEAN for v in built.turn)])


def _with(
    items: Sequence[Item], late: Sequence[int], turned: Sequence[int], by: Floats
) -> list[Item]:
    """Pieces longer and bends turned farther by so much."""
    out = list(items)
    for n, more in zip((*late, *turned), by, strict=True):
        it = out[n]
        if isinstance(it, Piece):
            out[n] = Piece(max(it.least, it.length + float(more)), it.least, it.late)
        elif isinstance(it, Bend):
            out[n] = Bend(it.angle, it.clock + float(more), it.before, it.after)
    return out


def _fitted(
    pit: TruePit,
    items: Sequence[Item],
    cuts: tuple[float, float],
    stands: Sequence[float],
    late: Sequence[int],
    turned: Sequence[int],
) -> list[Item]:
    """The items after the dry fit: bounded least squares on what the eye sees. A piece was left
    long, so only its sockets' depths bound it; nobody turns a bend far for nothing."""
    count = len(late)

    def seen(by: Floats) -> Floats:
        looks = _weighed(laid(pit, _with(items, late, turned, by), cuts, stands))
        return np.concatenate([looks, 2.0 * by[count:]])

    pieces = [p for p in (items[n] for n in late) if isinstance(p, Piece)]
    low = [min(-1e-6, p.least - p.length) for p in pieces] + [-_MOST_TURNED] * len(turned)
    high = [_LONGER] * count + [_MOST_TURNED] * len(turned)
    scale_of = [INCH / 16] * count + [math.radians(1.0)] * len(turned)
    got = least_squares(
        seen, np.zeros(len(low)), bounds=(low, high), x_scale=scale_of, ftol=1e-8, max_nfev=25
    )
    return _with(items, late, turned, got.x)
