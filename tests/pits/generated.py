"""Pits out of a seed, written as surveys that the real reader reads.

Every pit has two zones. In most of them each stub is 1 to 5 degrees out of true and out of plane,
and the sizes are mixed; every fourth is true and square, as no real one is.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, replace

from pitwright.geometry.vector import Vec, add, scale, turned, unit

INCH = 0.0254
UP = (0.0, 0.0, 1.0)
INLETS = ("1 in schedule 40 PVC",)
OUTLETS = ("1 in SDR 21 PVC", "1 in schedule 40 PVC", "3/4 in SDR 21 PVC", "1-1/4 in SDR 26 PVC")


@dataclass(frozen=True)
class End:
    """A stub before it is written down. [m]"""

    tip: Vec
    faces: Vec
    pipe: str
    cut_back: float
    bare: float


@dataclass(frozen=True)
class Pit:
    """Named zones, each an inlet, an outlet and the size of its new valve."""

    zones: tuple[tuple[str, End, End, str], ...]
    crooked: bool

    def each(self, change: Callable[[End], End]) -> Pit:
        """The same pit with every stub changed."""
        zones = tuple((n, change(a), change(b), v) for n, a, b, v in self.zones)
        return replace(self, zones=zones)


def turned_in_plan(pit: Pit, degrees: float) -> Pit:
    """The pit turned about plumb."""
    angle = math.radians(degrees)
    return pit.each(
        lambda e: replace(e, tip=turned(e.tip, UP, angle), faces=turned(e.faces, UP, angle))
    )


def mirrored(pit: Pit) -> Pit:
    """Left and right exchanged."""

    def glass(v: Vec) -> Vec:
        return (-v[0], v[1], v[2])

    return pit.each(lambda e: replace(e, tip=glass(e.tip), faces=glass(e.faces)))


def _leaning(rng: random.Random, true: Vec) -> Vec:
    """1 to 5 degrees off, to any side."""
    side = unit((rng.gauss(0, 1), rng.gauss(0, 1), rng.gauss(0, 1)))
    across = unit(add(side, scale(true, -sum(a * b for a, b in zip(side, true, strict=True)))))
    lean = math.radians(rng.uniform(1.0, 5.0))
    return add(scale(true, math.cos(lean)), scale(across, math.sin(lean)))


def pit(seed: int) -> Pit:
    """The pit of a seed: inlets from a header, outlets ahead, offset, square or returning."""
    rng = random.Random(seed)
    crooked = seed % 4 != 0
    zones = []
    for number, name in enumerate(("west", "east")):
        x = number * 20 * INCH
        start = (x, 0.0, 0.0)
        kind = rng.choice(["ahead", "offset", "offset", "square", "returning"])
        aside = rng.uniform(4.0, 9.0) * INCH * rng.choice([1, -1])
        down = rng.uniform(-4.0, 4.0) * INCH * (crooked or kind != "ahead")
        along = rng.uniform(16.0, 26.0) * INCH
        faces: Vec = (0.0, -1.0, 0.0)
        if kind == "ahead":
            tip = (x, along, 0.0)
        elif kind == "offset":
            tip = (x + aside, along, down)
        elif kind == "square":
            tip, faces = (x + aside * 2, along, 0.0), (math.copysign(1.0, -aside), 0.0, 0.0)
        else:
            tip, faces = (x + aside * 1.6, rng.uniform(0.0, 6.0) * INCH, down), (0.0, 1.0, 0.0)
        ahead: Vec = (0.0, 1.0, 0.0)
        if crooked:
            ahead, faces = _leaning(rng, ahead), _leaning(rng, faces)
            tip = add(tip, (rng.uniform(-0.003, 0.003), 0.0, rng.uniform(-0.003, 0.003)))
        outlet = rng.choice(OUTLETS if crooked else OUTLETS[:2])
        cut = rng.choice([0.5, 2.0, 6.0]) * INCH
        inlet = End(start, ahead, INLETS[0], rng.choice([0.0, 1.0]) * INCH, 3.0 * INCH)
        zones.append((name, inlet, End(tip, faces, outlet, cut, cut + 3.0 * INCH), "1"))
    return Pit(tuple(zones), crooked)


def _numbers(vec: Vec, by: float, unit_name: str) -> str:
    if not unit_name:
        return "[" + ", ".join(f"{v * by:.12f}" for v in vec) + "]"
    return "[" + ", ".join(f'"{v * by:.9f} {unit_name}"' for v in vec) + "]"


def survey_text(
    made: Pit, *, names: tuple[str, str] = ("in", "out"), order: int = 1, bends: int = 2
) -> str:
    """The survey of a pit. ``names`` end its stubs' names; ``order`` -1 writes stubs backwards.

    ``bends`` is the most a train may have: with 3 and 4 the search takes fifty times as long.
    """
    lines = [
        "[preferences]",
        f"most_bends = {bends}",
        "[pit]",
        'name = "generated"',
        'unit = "mm"',
        "[box]",
        'shape = "rectangle"',
        'mouth = { left = "-1500", right = "1500", upstream = "-1500", downstream = "1500" }',
        'bottom = { left = "-1500", right = "1500", upstream = "-1500", downstream = "1500" }',
        'grade = "600"',
        'floor = "-700"',
        "[valve.new]",
        'body = "120 mm"',
        'ends = "female thread"',
        'size = "1"',
        'made_up = "141 mm"',
        'tilt = "15 deg"',
    ]
    blocks = []
    for name, inlet, outlet, _ in made.zones:
        for side, word, end in (("inlet", names[0], inlet), ("outlet", names[1], outlet)):
            blocks.append(
                [
                    f'[stub."{name} {word}"]',
                    f'side = "{side}"',
                    f"tip = {_numbers(end.tip, 1000.0, 'mm')}",
                    f"faces = {_numbers(end.faces, 1.0, '')}",
                    f'pipe = "{end.pipe}"',
                    f'cut_back = "{end.cut_back * 1000:.9f} mm"',
                    f'bare = ["{end.bare * 1000:.9f} mm"]',
                    'condition = "sound"',
                ]
            )
    for block in blocks[::order]:
        lines += block
    for name, *_ in made.zones:
        lines += [
            f'[zone."{name}"]',
            f'inlet = "{name} {names[0]}"',
            f'outlet = "{name} {names[1]}"',
            'valve = "new"',
        ]
    return "\n".join(lines) + "\n"
