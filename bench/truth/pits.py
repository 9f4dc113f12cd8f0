"""True pits out of a seed: fixed families of stubs as they really lie. Metres, unit vectors.

x counts to the right, y downstream, z up; the inlet's tip lies near the datum. Shares of the
families and everything drawn are in :data:`FAMILIES` and :func:`draw_pit`; nothing here knows how
a planner thinks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from pitwright.catalogue.shelf import Shelf
from pitwright.geometry.vector import Vec, add, minus, norm, scale, unit, without

INCH = 0.0254

FAMILIES = {
    "in-line": 0.16,
    "rolling": 0.22,
    "jog": 0.12,
    "square": 0.14,
    "return": 0.08,
    "box": 0.08,
    "true": 0.10,
}
"""Shares. What is left, a tenth, is "tight": nothing can be joined there. All but "true" lean."""
TIGHT = "tight"
LEAN = (1.0, 5.0)
"""Every stub of a leaning pit is so far out of true, to any side. [degrees]"""
OUTLETS = {
    "1 in SDR 21 PVC": 0.5,
    "1 in schedule 40 PVC": 0.25,
    "3/4 in SDR 21 PVC": 0.15,
    "1-1/4 in SDR 26 PVC": 0.10,
}
"""What the outlet's pipe is, by share; the inlet's is 1 in schedule 40. The SDR ones are thin."""
INLET = "1 in schedule 40 PVC"
STAYING = {"sound": 0.002, "old": 0.001}
"""Bending strain that may stay. R = 250 OD for sound PVC (a pipe handbook); old: judgement."""
MADE_UP = 5.5625 * INCH
"""A valve of 1 in with both adapters on, socket bottom to socket bottom."""
TILT = math.radians(10.0)
"""How far the valve may lean. Judgement."""


@dataclass(frozen=True)
class TrueStub:
    """One end of old pipe. ``bare`` runs from the tip to the soil: unit directions and lengths."""

    tip: Vec
    outward: Vec
    pipe: str
    od: float
    wall: float
    condition: str
    cut_back: float
    bare: tuple[tuple[Vec, float], ...]


@dataclass(frozen=True)
class Root:
    """A thick line that stays."""

    start: Vec
    end: Vec
    radius: float


@dataclass(frozen=True)
class TruePit:
    """One pit as it is. ``room`` is (low corner, high corner) of the dug hole."""

    seed: int
    family: str
    inlet: TrueStub
    outlet: TrueStub
    valve: float
    room: tuple[Vec, Vec]
    root: Root | None

    @property
    def stubs(self) -> tuple[TrueStub, TrueStub]:
        return self.inlet, self.outlet


def dice_for(seed: int, what: str) -> Random:
    """A stream of its own for each use of a seed, so that one method never shifts another's."""
    return Random(f"pit {seed}: {what}")


def leaning(dice: Random, true: Vec, low: float, high: float) -> Vec:
    """A direction ``low`` to ``high`` degrees off, to any side."""
    while True:
        side = without((dice.gauss(0, 1), dice.gauss(0, 1), dice.gauss(0, 1)), true)
        if norm(side) > 1e-3:
            break
    lean = math.radians(dice.uniform(low, high))
    return unit(add(scale(true, math.cos(lean)), scale(unit(side), math.sin(lean))))


def _lie(dice: Random, family: str) -> tuple[Vec, Vec]:
    """Where the outlet's tip lies, in inches, and which way it faces before leaning."""
    u, hand = dice.uniform, dice.choice((1.0, -1.0))
    around = u(-math.pi, math.pi)
    if family == "square":
        if dice.random() < 0.4:
            return (u(-3, 3), u(11, 16), u(-12, -7)), (0.0, 0.0, 1.0)
        return (hand * u(8, 13), u(11, 16), u(-2.5, 2.5)), (-hand, 0.0, 0.0)
    if family == "return":
        return (hand * u(6, 10), u(-2, 2), u(-2, 2)), (0.0, 1.0, 0.0)
    offset, ahead = {
        "in-line": (u(0.0, 0.5), u(10, 16)),
        "rolling": (u(2.0, 7.0), u(14, 22)),
        "jog": (u(0.6, 1.8), u(16, 22)),
        "box": (u(0.4, 1.2), u(12.8, 15.5)),
        TIGHT: (u(0.0, 1.0), u(4.5, 6.0)),
        "true": (dice.choice((0.0, 3.0, 5.0)), u(12, 20)),
    }[family]
    if family == "true":
        around = dice.choice((0.0, math.pi, -math.pi / 2))
    return (offset * math.cos(around), ahead, offset * math.sin(around)), (0.0, -1.0, 0.0)


def _bare(dice: Random, family: str, side: str) -> tuple[float, float, bool]:
    """The first straight's length and what may be cut of it in inches; whether a riser follows."""
    if family == TIGHT:
        return 0.8, 0.0, False
    if family == "box":
        return dice.uniform(2.0, 3.0), dice.uniform(0.3, 0.8), False
    if side == "inlet" and dice.random() < 0.6:
        return dice.uniform(2.0, 3.5), dice.uniform(0.6, 1.2), False
    return dice.uniform(9.0, 18.0), dice.uniform(2.0, 5.0), dice.random() < 0.3


def _stub(
    dice: Random, shelf: Shelf, family: str, side: str, lie: tuple[Vec, Vec], pipe: str
) -> TrueStub:
    true = lie[1]
    faces = true if family == "true" else leaning(dice, true, *LEAN)
    long, cut, riser = _bare(dice, family, side)
    bare = [(minus(faces), long * INCH)]
    if riser and abs(faces[2]) < 0.5:
        bare.append((leaning(dice, (0.0, 0.0, -1.0), 0.0, 3.0), dice.uniform(8, 16) * INCH))
    kind = shelf.pipe(pipe)
    wall = dice.uniform(kind.wall.low, kind.wall.high)
    state = dice.choice(("sound", "old", "old"))
    return TrueStub(
        scale(lie[0], INCH), faces, pipe, kind.od.value, wall, state, cut * INCH, tuple(bare)
    )


def draw_pit(seed: int, shelf: Shelf) -> TruePit:
    """The pit of a seed."""
    dice = dice_for(seed, "as it lies")
    families = [*FAMILIES, TIGHT]
    left = 1.0 - sum(FAMILIES.values())
    family = dice.choices(families, [*FAMILIES.values(), left])[0]
    pipe = dice.choices(list(OUTLETS), list(OUTLETS.values()))[0]
    near = (dice.uniform(-0.1, 0.1), dice.uniform(-0.1, 0.1), dice.uniform(-0.1, 0.1))
    inlet = _stub(dice, shelf, family, "inlet", (near, (0.0, 1.0, 0.0)), INLET)
    outlet = _stub(dice, shelf, family, "outlet", _lie(dice, family), pipe)
    pad = [[dice.uniform(4.0, 8.0) for _ in range(3)] for _ in range(2)]
    far = 6.0 if family == "return" else 0.0
    tips = inlet.tip, outlet.tip
    low = tuple(min(t[i] for t in tips) - pad[0][i] * INCH for i in range(3))
    high = tuple(max(t[i] for t in tips) + pad[1][i] * INCH for i in range(3))
    room = (
        (low[0], low[1], low[2]),
        (high[0], high[1] + far * INCH, max(tips[0][2], tips[1][2]) + 10.0 * INCH),
    )
    valve = MADE_UP + dice.uniform(-0.15, 0.15) * INCH
    return TruePit(seed, family, inlet, outlet, valve, room, _root(dice, room))


def _root(dice: Random, room: tuple[Vec, Vec]) -> Root | None:
    """In half of the pits a root crosses the hole from wall to wall, below the pipes."""
    if dice.random() < 0.5:
        return None
    (x0, y0, z0), (x1, y1, _) = room
    y, z = dice.uniform(y0, y1), z0 + dice.uniform(0.8, 2.0) * INCH
    lean = dice.uniform(-1.0, 1.0) * INCH
    return Root((x0, y, z), (x1, y + lean, z), dice.uniform(0.4, 0.8) * INCH)
