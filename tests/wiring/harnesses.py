"""Small harnesses the wiring tests share."""

from __future__ import annotations

from pitwright.survey.harness import CONTROLLER, Box, Coil, Common, Harness, Source, Station
from pitwright.wiring.copper import FOOT

COIL = Coil(28.0, complex(32.2, 67.7), complex(32.2, 67.7))


def three(spread: float = 0.05) -> Harness:
    """One station at the first box and two at the second, one common: the design study's."""
    return Harness(
        "three",
        (Box("B1", CONTROLLER, 150 * FOOT), Box("B2", "B1", 200 * FOOT)),
        (Common("C1", 16),),
        (
            Station("S1", "B1", "C1", 18, COIL),
            Station("S2", "B2", "C1", 18, COIL),
            Station("S3", "B2", "C1", 18, COIL),
        ),
        source=Source(27.5, 1.4),
        coil_rel=spread,
        cap_per_m=0.025e-9 / FOOT,
    )
