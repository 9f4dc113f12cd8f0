"""A train: the answer of a search, and the skeleton it was made on."""

from __future__ import annotations

import math
from dataclasses import dataclass

from pitwright.geometry.vector import Vec
from pitwright.trains.kit import (
    GRIPPED,
    GRIPS_ON_PIECE,
    GRIPS_ON_STUB,
    Corner,
    EndWay,
    Port,
    Unit,
)
from pitwright.trains.rows import Row

__all__ = ["Misfit", "Skeleton", "Train", "order"]

_GRIP = (GRIPPED, GRIPS_ON_STUB, GRIPS_ON_PIECE)


@dataclass(frozen=True, slots=True)
class Skeleton:
    """The discrete choices: bends, how each end begins, and which leg carries the valve."""

    corners: tuple[Corner, ...]
    ways: tuple[EndWay, EndWay]
    unit: Unit | None
    valve_leg: int | None
    union: bool = False

    @property
    def slides(self) -> int:
        """How many of its bodies take up length by themselves. [-]"""
        return sum(way.slides for way in self.ways)

    @property
    def label(self) -> str:
        """Such as ``45-45, direct-coupled, valve on leg 1``: legs count from the inlet."""
        bends = "-".join(_named(c) for c in self.corners) or "straight"
        valve = "" if self.valve_leg is None else f", valve on leg {self.valve_leg + 1}"
        valve += " with union" if self.union else ""
        return f"{bends}, {self.ways[0].name}-{self.ways[1].name}{valve}"


def _named(corner: Corner) -> str:
    """Its angle; a street elbow with an s on the side of its spigot."""
    before, after = ("s" * (seat.port is Port.SPIGOT) for seat in (corner.before, corner.after))
    return f"{before}{math.degrees(corner.bend):g}{after}"


@dataclass(frozen=True, slots=True)
class Misfit:
    """The closing error before anything is bent: how far apart [m], and at what angle [rad]."""

    position: float
    angle: float


@dataclass(frozen=True, slots=True)
class Train:
    """Parts mated port to port between two stubs.

    ``directions`` are the unit directions of the legs, ``lengths`` their centre distances [m],
    ``pieces`` the pipe pieces of each leg in order [m], ``cut_back`` what comes off each stub [m],
    ``share`` how much of the valve leg's slack lies before the valve [-], ``drawn`` how far each
    item of each leg is drawn out from the middle of what it allows. [m]
    """

    skeleton: Skeleton
    directions: tuple[Vec, ...]
    lengths: tuple[float, ...]
    rows: tuple[Row, ...]
    pieces: tuple[tuple[float, ...], ...]
    cut_back: tuple[float, float]
    misfit: Misfit
    snapped: bool
    share: float = 0.0
    drawn: tuple[tuple[float, ...], ...] = ()

    @property
    def bends(self) -> int:
        """How many corners. [-]"""
        return len(self.skeleton.corners)

    @property
    def length(self) -> float:
        """The sum of the centre distances. [m]"""
        return sum(self.lengths)

    @property
    def parts(self) -> int:
        """Bodies and pieces to be joined: corners, couplers, valve and pipe pieces. [-]"""
        couplers = sum(way.coupler is not None for way in self.skeleton.ways)
        valve = (self.skeleton.valve_leg is not None) + self.skeleton.union
        return self.bends + couplers + valve + sum(len(p) for p in self.pieces)


def order(train: Train) -> tuple[int, int, int, int, float, tuple[bool, ...], str]:
    """The search's own order: sliding bodies, bends, parts, gripping bodies, length to a
    micrometre [m], bare stubs first, label.

    Source: the fixed key of docs/decisions/0003.
    """
    coupled = tuple(way.coupler is not None for way in train.skeleton.ways)
    grips = sum(way.name in _GRIP for way in train.skeleton.ways)
    length = round(train.length, 6)
    slides = train.skeleton.slides
    return (slides, train.bends, train.parts, grips, length, coupled, train.skeleton.label)
