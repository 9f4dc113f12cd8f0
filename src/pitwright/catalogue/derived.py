"""Dimensions that follow from others: socket depths from two sheets' columns, and the like.

Each rule is one function that adds to the tables; what it makes is marked "derived".
"""

from __future__ import annotations

from pitwright.catalogue.parts import Dim
from pitwright.catalogue.tables import Tables
from pitwright.findings import SourceKey
from pitwright.units.kinds import INCH

__all__ = ["INCH_SIZES", "derive"]

INCH_SIZES = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
_BODIES = ("90", "45", "tee")
_ARITHMETIC = SourceKey("arithmetic")
_JUDGEMENT = SourceKey("judgement")
_STREET_LIP = INCH / 8
"""A street elbow's spigot may stand this much farther out than a socket's face. [m] judgement"""


def derive(tables: Tables) -> None:
    """Add every derived dimension to the tables. [m] Source: arithmetic on their own rows."""
    for size in INCH_SIZES:
        _socket_depths(tables, size)
        _street(tables, size)
        _telescoping(tables, size)
        _compression(tables, size)
    for schedule in ("sch40", "sch80"):
        _bushings(tables, schedule)


def _depth_limits(tables: Tables, size: str) -> tuple[float, float]:
    """Least a schedule 40 socket may be by the standard, and the deepest seen. [m]"""
    seen = tables.dims["socket_depth_sch40_seen", size]
    return max(seen.low, tables.floors["socket_depth_sch40", size].value), seen.high


def _socket_depths(tables: Tables, size: str) -> None:
    """Depth of each fitting = centre to face less centre to socket bottom (H - G)."""
    low, high = _depth_limits(tables, size)
    depths = []
    for body in _BODIES:
        face, takeout = (
            tables.dims[f"face_{body}_sch40", size],
            tables.dims[f"takeout_{body}_sch40", size],
        )
        depth = face.value - takeout.value
        depths.append(depth)
        tables.dims[f"depth_{body}_sch40", size] = Dim(
            depth, min(low, depth), max(high, depth), face.source, "derived"
        )
    middle = sorted(depths)[len(depths) // 2]
    tables.dims["depth_typical_sch40", size] = Dim(
        middle, min(low, middle), max(high, middle), SourceKey("maker-A"), "derived"
    )


def _street(tables: Tables, size: str) -> None:
    """Centre to spigot end of a street elbow: the face of its twin and a little more."""
    for body in ("90", "45"):
        face = tables.dims[f"face_{body}_sch40", size]
        tables.dims[f"takeout_street_{body}_sch40", size] = Dim(
            face.value + _STREET_LIP / 2, face.low, face.high + _STREET_LIP, _JUDGEMENT, "judgement"
        )


def _telescoping(tables: Tables, size: str) -> None:
    """Centre to seat when pushed together: half the collapsed length less one socket depth."""
    length = tables.dims["telescoping_collapsed", size]
    depth = tables.dims["depth_typical_sch40", size]
    tables.dims["telescoping_takeout", size] = Dim(
        length.value / 2 - depth.value,
        length.low / 2 - depth.value,
        length.high / 2 - depth.value,
        length.source,
        length.status,
    )


def _compression(tables: Tables, size: str) -> None:
    """Where a pipe end lies in the body: half the length less the grip, give or take the slack."""
    length = tables.dims["compression_overall", size]
    grip = tables.dims["compression_grip", size]
    slack = tables.dims["compression_slack", size].high / 4
    value = length.value / 2 - grip.value
    tables.dims["compression_takeout", size] = Dim(
        value, max(0.0, value - slack), value + slack, length.source, length.status
    )


def _bushings(tables: Tables, schedule: str) -> None:
    """Small socket's depth = overall less lay; the spigot fills the large socket it sits in."""
    deep = "depth_typical_sch40" if schedule == "sch40" else "socket_depth_sch80"
    for item, size in list(tables.dims):
        if item != f"bushing_lay_{schedule}":
            continue
        lay, overall = tables.dims[item, size], tables.dims[f"bushing_overall_{schedule}", size]
        depth = overall.value - lay.value
        spread = INCH / 16
        tables.dims[f"bushing_depth_{schedule}", size] = Dim(
            depth, depth - spread, depth + spread, lay.source, "derived"
        )
        large = tables.dims[deep, size.split(" x ")[0]]
        spigot = min(large.value, overall.value)
        tables.dims[f"bushing_spigot_{schedule}", size] = Dim(
            spigot, min(large.low, spigot), overall.high, _ARITHMETIC, "derived"
        )
