"""The few numbers of this room: room for tools, how long hands need, what a union's lip wants."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.findings import SourceKey
from pitwright.units.kinds import INCH

__all__ = ["ToolRoom", "handwork", "limit", "tool_rooms"]


@dataclass(frozen=True, slots=True)
class ToolRoom:
    """The room a tool wants to one side of the pipe: how far out, and half its thickness. [m]"""

    tool: str
    reach: float
    thick: float
    source: SourceKey
    status: str


@cache
def _rows(name: str) -> tuple[dict[str, str], ...]:
    text = files("pitwright.joining").joinpath("data", name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def tool_rooms() -> dict[str, ToolRoom]:
    """The room each tool wants, by its name. [m] Source: ``data/tool_room.csv``."""
    return {
        r["tool"]: ToolRoom(
            r["tool"],
            float(r["reach_in"]) * INCH,
            float(r["thick_in"]) * INCH,
            SourceKey(r["source"]),
            r["status"],
        )
        for r in _rows("tool_room.csv")
    }


@cache
def handwork(code: str) -> float:
    """How long hands are busy with one step. [s] Source: ``data/handwork.csv``."""
    return next(float(r["seconds"]) for r in _rows("handwork.csv") if r["code"] == code)


@cache
def limit(item: str) -> float:
    """A length this room counts with. [m] Source: ``data/limits.csv``."""
    return next(float(r["value"]) * INCH for r in _rows("limits.csv") if r["item"] == item)
