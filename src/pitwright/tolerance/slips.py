"""How far hands, saws and fittings err: one sigma each, for work done with care."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.units.kinds import INCH
from pitwright.units.spread import Sigma

__all__ = ["SLIPS", "Slips"]


@dataclass(frozen=True, slots=True)
class Slips:
    """One sigma of everything that is done, not read.

    ``cut`` of every cut [m], ``seat`` of every joint's stand-out [m], ``fitting`` of a fitting's
    own angle [rad], ``clock`` of setting a bend's clocking [rad], ``mark`` of a piece marked in
    place and cut last [m], ``part`` of a part once measured [m], ``tape`` of one point [m].
    """

    cut: Sigma
    seat: Sigma
    fitting: Sigma
    clock: Sigma
    mark: Sigma
    part: Sigma
    tape: Sigma


SLIPS = Slips(
    cut=Sigma(INCH / 32),
    seat=Sigma(INCH / 32),
    fitting=Sigma(math.radians(0.3)),
    clock=Sigma(math.radians(0.5)),
    mark=Sigma(INCH / 32 * math.sqrt(2.0)),
    part=Sigma(INCH / 64),
    tape=Sigma(INCH / 16),
)
"""Cut 1/32 in, seat 1/32 in, fitting 0.3 degree, clocking 0.5 degree with a protractor, a mark and
a cut in place each 1/32 in: common practice, no source. A part once measured 1/64 in, a tape 1/16
in: judgement, as for the survey's own tools."""
