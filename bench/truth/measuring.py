"""What a technician writes down at a true pit, as the text of a survey file.

Tips by three tape readings from the datum; a direction by a second point where six inches of pipe
lie bare, else by an angle gauge, in words. Lengths are read to a sixteenth, angles to half a
degree; in a perfect world both are written to the last digit and directions as vectors.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from random import Random

from bench.truth.errors import World
from bench.truth.pits import INCH, TruePit, TrueStub, dice_for
from pitwright.geometry.vector import Vec, add, scale

WORDS = (("right", "left"), ("downstream", "upstream"), ("up", "down"))
TWO_POINTS_FROM = 6.0 * INCH
"""With less bare pipe the angle gauge is used."""
FARTHEST = 12.0 * INCH


@dataclass(frozen=True)
class Reader:
    """One technician's tape and gauge at one pit, with their biases."""

    world: World
    dice: Random
    tape_bias: float
    gauge_bias: tuple[float, float]

    @property
    def perfect(self) -> bool:
        return self.world.tape == 0.0

    def tape(self, true: float) -> float:
        """One reading; a tape's bias makes every distance longer, or every distance shorter."""
        if self.perfect:
            return true
        read = (
            true + math.copysign(self.tape_bias, true) + self.world.err(self.dice, self.world.tape)
        )
        return round(read / INCH * 16) / 16 * INCH

    def gauge(self, true: float, way: int) -> float:
        read = true + self.gauge_bias[way] + self.world.err(self.dice, self.world.gauge)
        return math.radians(round(math.degrees(read) * 2) / 2)


@dataclass(frozen=True)
class Measured:
    """What was read of a stub: its tip, and the text of the keys that say so."""

    tip: Vec
    outward: Vec
    keys: tuple[str, ...]


def reader(pit: TruePit, world: World) -> Reader:
    """The technician of a pit: the same readings whoever plans with them."""
    dice = dice_for(pit.seed, f"measuring, {world.name}")
    bias = dice.uniform(-1.0, 1.0) * world.tape_bias
    ways = (dice.uniform(-1.0, 1.0) * world.gauge_bias, dice.uniform(-1.0, 1.0) * world.gauge_bias)
    return Reader(world, dice, bias, ways)


def _text(metres: float) -> str:
    return f'"{metres / INCH:.9f}"'


def _point(at: Vec) -> str:
    return f"[{', '.join(_text(v) for v in at)}]"


def _point_read(who: Reader, at: Vec) -> Vec:
    return who.tape(at[0]), who.tape(at[1]), who.tape(at[2])


def _by_gauge(who: Reader, true: Vec) -> tuple[str, Vec]:
    main = max(range(3), key=lambda i: abs(true[i]))
    parts = [WORDS[main][true[main] < 0.0]]
    found = [0.0, 0.0, 0.0]
    found[main] = math.copysign(1.0, true[main])
    for way, i in enumerate(j for j in range(3) if j != main):
        lean = who.gauge(math.atan2(true[i], abs(true[main])), way)
        found[i] = math.tan(lean)
        if lean:
            parts.append(f"{abs(math.degrees(lean)):g} deg {WORDS[i][lean < 0.0]}")
    size = math.hypot(*found)
    return f'"{", ".join(parts)}, by protractor"', (
        found[0] / size,
        found[1] / size,
        found[2] / size,
    )


def read_stub(who: Reader, stub: TrueStub) -> Measured:
    """One stub's tip and direction as they were read."""
    tip = _point_read(who, stub.tip)
    keys = [f"tip = {_point(tip)}"]
    long = stub.bare[0][1]
    if who.perfect:
        outward = stub.outward
        keys.append(f"faces = [{', '.join(f'{v:.15g}' for v in outward)}]")
    elif long >= TWO_POINTS_FROM:
        behind = min(long, FARTHEST)
        second = _point_read(who, add(stub.tip, scale(stub.bare[0][0], behind)))
        apart = [a - b for a, b in zip(tip, second, strict=True)]
        size = math.hypot(*apart)
        outward = (apart[0] / size, apart[1] / size, apart[2] / size)
        keys.append(f"through = {_point(second)}")
    else:
        words, outward = _by_gauge(who, stub.outward)
        keys.append(f"faces = {words}")
    bare = [_text(who.tape(long))]
    for way, length in stub.bare[1:]:
        main = max(range(3), key=lambda i: abs(way[i]))
        bare.append(f'"{who.tape(length) / INCH:.9f} {WORDS[main][way[main] < 0.0]}"')
    keys.append(f"bare = [{', '.join(bare)}]")
    return Measured(tip, outward, tuple(keys))


@dataclass(frozen=True)
class Notes:
    """The survey's text, and the readings themselves for who plans by hand."""

    text: str
    stubs: tuple[Measured, Measured]
    valve: float


def measure(pit: TruePit, world: World, most_bends: int = 4) -> Notes:
    """The whole pit measured once; a train of at most so many bends is asked for."""
    who = reader(pit, world)
    stubs = read_stub(who, pit.inlet), read_stub(who, pit.outlet)
    valve = pit.valve + world.err(who.dice, world.made_up)
    if not who.perfect:
        valve = round(valve / INCH * 32) / 32 * INCH
    low, high = pit.room
    lines = ["[pit]", 'name = "drawn"', 'unit = "in"', "[box]"]
    walls = zip(("left", "right", "upstream", "downstream"), _walls(low, high), strict=True)
    lines.append(f"mouth = {{ {', '.join(f'{n} = {_text(v)}' for n, v in walls)} }}")
    lines += [f"grade = {_text(high[2])}", f"floor = {_text(low[2])}"]
    for side, true, read in zip(("inlet", "outlet"), pit.stubs, stubs, strict=True):
        lines += [f"[stub.{side}]", f'side = "{side}"', f'pipe = "{true.pipe}"', *read.keys]
        lines += [f"cut_back = {_text(true.cut_back)}", f'condition = "{true.condition}"']
    lines += ["[valve.new]", 'body = "4 3/4"', 'ends = "female thread"', 'size = "1"']
    lines += ['width = "3"', 'below = "1 1/4"', 'height = "5 1/4"', 'tilt = "10 deg"']
    lines.append(f'made_up = "{valve / INCH:.9f} +- 1/32"')
    lines += ["[zone.only]", 'inlet = "inlet"', 'outlet = "outlet"', 'valve = "new"']
    lines += ["[preferences]", f"most_bends = {most_bends}"]
    if pit.root is not None:
        lines += ["[obstacle.root]", 'kind = "root"', f"start = {_point(pit.root.start)}"]
        lines += [f"end = {_point(pit.root.end)}", f"thick = {_text(2 * pit.root.radius)}"]
    return Notes("\n".join(lines) + "\n", stubs, valve)


def _walls(low: Vec, high: Vec) -> tuple[float, float, float, float]:
    return low[0], high[0], low[1], high[1]
