"""How people and parts err: the world that planners assume, worse ones, and a perfect one.

Sigmas are one sigma, Gaussian. Values: one sixteenth for a tape, a thirty-second for cuts and
seats, half a degree for a gauge and for turning by marks, 0.3 degree for a fitting: common
practice, no source. Those of the mismatched world are judgement.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from random import Random

from bench.truth.pits import INCH


@dataclass(frozen=True)
class World:
    """Metres and radians.

    ``tape_bias`` and ``gauge_bias`` are common to a pit, anywhere within plus or minus;
    ``batch_angle`` (one sigma) and ``takeout_bias`` (plus or minus) to all bends of a job; in
    ``thread_off`` of the jobs a thread stops a ``pitch`` early or late. ``tails`` are the degrees
    of freedom of Student's t that replaces every Gaussian (0: Gaussian), at the same scale.
    ``dry`` is how far a joint, one sigma, stands otherwise at the dry fit than when glued.
    """

    name: str
    tape: float
    gauge: float
    cut: float
    seat: float
    fitting: float
    clock: float
    mark: float
    made_up: float
    takeout_spread: float
    strain: float = 0.0
    play: tuple[float, float] = (math.radians(0.25), math.radians(0.25))
    tape_bias: float = 0.0
    gauge_bias: float = 0.0
    batch_angle: float = 0.0
    takeout_bias: float = 0.0
    thread_off: float = 0.0
    pitch: float = INCH / 11.5
    dry: float = 0.0
    tails: int = 0

    def err(self, dice: Random, sigma: float) -> float:
        """One error of this world."""
        z = dice.gauss(0.0, 1.0)
        if self.tails:
            chi = sum(dice.gauss(0.0, 1.0) ** 2 for _ in range(self.tails))
            z /= math.sqrt(max(chi, 1e-3) / self.tails)
        return z * sigma


MATCHED = World(
    "matched",
    tape=INCH / 16,
    gauge=math.radians(0.5),
    cut=INCH / 32,
    seat=INCH / 32,
    fitting=math.radians(0.3),
    clock=math.radians(0.5),
    mark=INCH / 32 * math.sqrt(2.0),
    made_up=INCH / 64,
    takeout_spread=1.0,
)
MISMATCHED = replace(
    MATCHED,
    name="mismatched",
    strain=0.1,
    play=(math.radians(0.1), math.radians(0.5)),
    tape_bias=INCH / 16,
    gauge_bias=math.radians(1.0),
    batch_angle=math.radians(0.5),
    takeout_bias=INCH / 16,
    thread_off=0.25,
    dry=INCH / 32,
    tails=4,
)
PERFECT = replace(
    MATCHED,
    name="perfect",
    tape=0.0,
    gauge=0.0,
    cut=0.0,
    seat=0.0,
    fitting=0.0,
    clock=0.0,
    mark=0.0,
    made_up=0.0,
    takeout_spread=0.0,
)
