"""Obstacles: pipes, wires, rocks and roots as thick segments, with the room to keep from each."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.geometry.vector import Vec
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section

__all__ = ["KINDS_OF_OBSTACLE", "Obstacle", "read_obstacle"]

KINDS_OF_OBSTACLE = ("root", "wire", "pipe", "rock", "wall")


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A thick segment from ``start`` to ``end`` [m], ``clear`` [m] of which is kept free."""

    name: str
    kind: str
    starts: Located
    ends: Located
    thick: Reading
    clear_reading: Reading | None
    note: str

    @property
    def start(self) -> Vec:
        """One end of its axis. [m]"""
        return self.starts.mean

    @property
    def end(self) -> Vec:
        """The other end of its axis; the same point for a lump. [m]"""
        return self.ends.mean

    @property
    def radius(self) -> float:
        """Half its thickness. [m]"""
        return self.thick.value / 2.0

    @property
    def clear(self) -> float:
        """The room to keep between it and new work. [m]"""
        return self.clear_reading.value if self.clear_reading else 0.0


def read_obstacle(name: str, section: Section) -> Obstacle:
    """One section [obstacle.name]. Raises BadInput. SI."""
    start = section.located("start", "measure one end of it from the datum")
    return Obstacle(
        name,
        section.choice("kind", KINDS_OF_OBSTACLE, None),
        start,
        section.located("end", "") if section.has("end") else start,
        section.need_reading(
            "thick", "measure how thick it is, straight across", low=0.0, high=3.0
        ),
        section.reading("clear", low=0.0, high=1.0),
        section.text("note"),
    )
