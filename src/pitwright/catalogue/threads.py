"""Pipe threads: American taper (NPT) by its own formulae, British (BSP) by its table.

The two are never joined: the angles and pitches differ, and a joint that starts will not seal.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.catalogue.parts import Dim
from pitwright.errors import OutOfRange
from pitwright.findings import SourceKey

__all__ = ["Thread", "npt_e0", "npt_e1", "npt_effective_length"]


def npt_e0(od: float, pitch: float) -> float:
    """Pitch diameter at the small end: E0 = D - (0.05 D + 1.1 in/in) p, all in one unit.

    Parameters
    ----------
    od : float
        Outside diameter of the pipe. [in]
    pitch : float
        [in]

    Source: [ASME-B1.20.1].
    """
    return od - (0.05 * od + 1.1) * pitch


def npt_e1(od: float, pitch: float, hand_tight: float) -> float:
    """Pitch diameter at the hand-tight plane: E1 = E0 + L1/16. All in inches; [ASME-B1.20.1]."""
    return npt_e0(od, pitch) + hand_tight / 16


def npt_effective_length(od: float, pitch: float) -> float:
    """Effective external thread: L2 = (0.80 D + 6.8 in/in) p. All in inches; [ASME-B1.20.1]."""
    return (0.80 * od + 6.8) * pitch


@dataclass(frozen=True, slots=True)
class Thread:
    """One size of one thread system. Lengths [m], turns [-].

    NPT: ``L1`` hand-tight engagement, ``L2`` effective thread, ``L3`` three wrench turns.
    BSP: ``L1`` gauge length, ``L2`` useful thread, ``L3`` the fitting allowance.
    ``hand_tight_scatter`` is how far the hand-tight place may lie from L1 either way: one turn.
    ``turns`` past hand-tight that a plastic joint is given: least and most.
    """

    system: str
    size: str
    pitch: float
    L1: float
    L2: float
    L3: float
    od: float
    turns: tuple[float, float]
    source: SourceKey
    status: str

    @property
    def hand_tight_scatter(self) -> float:
        """Plus or minus one turn of gauge tolerance. [m] [ASME-B1.20.1]"""
        return self.pitch

    def made_up(self, turns_past_hand_tight: float) -> float:
        """Length engaged so many turns past hand-tight: L1 + turns * pitch. [m]

        Parameters
        ----------
        turns_past_hand_tight : float
            0 to 3; the part's own sheet decides. [-]

        Raises OutOfRange. Source: [ASME-B1.20.1].
        """
        if not 0.0 <= turns_past_hand_tight <= 3.0:
            raise OutOfRange(
                "turns past hand-tight",
                turns_past_hand_tight,
                0,
                3,
                "follow the part's own sheet; more than 2 splits plastic",
            )
        return self.L1 + turns_past_hand_tight * self.pitch

    def engagement(self) -> Dim:
        """Length engaged in a plastic joint, gauge and wrench scatter in it. [m] [ASME-B1.20.1]"""
        least, most = self.turns
        return Dim(
            self.made_up((least + most) / 2),
            self.made_up(least) - self.hand_tight_scatter,
            self.made_up(most) + self.hand_tight_scatter,
            self.source,
            "derived",
        )

    def takes(self, other: Thread) -> bool:
        """Whether the two may be joined: one system, one size. NPT and BSP never."""
        return self.system == other.system and self.size == other.size
