"""The rules every part of the shelf obeys, whoever entered it.

A shipped row that breaks one is kept and reported as a slip; a user's own row that breaks one is
refused, see :mod:`pitwright.catalogue.own`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from pitwright.catalogue.building import least_takeout
from pitwright.catalogue.parts import Dim, Fitting, FittingPort, JointKind, Pipe
from pitwright.catalogue.tables import Tables
from pitwright.findings import Finding, Weight, finding
from pitwright.units.kinds import INCH

__all__ = ["Breach", "breaches_of_fitting", "breaches_of_pipe", "outsides", "slips_of"]

LEAST_WALL = 0.060 * INCH
"""No wall of the SDR and SIDR series is thinner, whatever the ratio says. [m] [ASTM-D2241]"""
ROUNDING = 0.0006 * INCH
"""Printed walls are rounded to a thousandth, some through millimetres. [m]"""
_FLOOR_ITEM = {"40": "socket_depth_sch40", "80": "socket_depth_sch80"}
_SAME = 1e-9


@dataclass(frozen=True, slots=True)
class Breach:
    """One rule that one part breaks: a code, the part, the number and the limit. [m]"""

    code: str
    part: str
    got: float
    limit: float
    rule: str


def _whole(dim: Dim, part: str, what: str) -> Iterator[Breach]:
    if not 0 <= dim.low <= dim.value <= dim.high:
        yield Breach(
            "limits-out-of-order",
            part,
            dim.value,
            dim.low,
            f"{what} must lie between its own limits and not below zero",
        )


def breaches_of_pipe(pipe: Pipe) -> Iterator[Breach]:
    """Every rule a pipe breaks. [m] Source: [ASTM-D2241], [ASTM-D2239], arithmetic."""
    yield from _whole(pipe.od, pipe.id, "the outside diameter")
    yield from _whole(pipe.wall, pipe.id, "the wall")
    if not pipe.od.measured and pipe.od.high <= pipe.od.low:
        yield Breach(
            "no-tolerance", pipe.id, pipe.od.high - pipe.od.low, 0.0, "the OD needs a tolerance"
        )
    if 2 * pipe.wall.value >= pipe.od.value:
        yield Breach(
            "no-bore", pipe.id, pipe.wall.value, pipe.od.value / 2, "two walls must leave a bore"
        )
    if pipe.ratio is None:
        return
    over = pipe.bore.value if pipe.bore else pipe.od.value
    least = max(over / pipe.ratio, LEAST_WALL)
    if pipe.wall.low < least - ROUNDING:
        yield Breach(
            "wall-too-thin",
            pipe.id,
            pipe.wall.low,
            least,
            "the least wall is diameter over ratio, and never under 0.060 in",
        )


def breaches_of_fitting(
    fitting: Fitting, od: Mapping[tuple[str, str], Dim], tables: Tables
) -> Iterator[Breach]:
    """Every rule a fitting breaks, given the :func:`outsides`. [m]

    Source: [ASTM-D2466], [ASTM-D2467], arithmetic.
    """
    for port in fitting.ports:
        yield from _whole(port.takeout, fitting.id, f"the take-out of {port.label}")
        yield from _whole(port.depth, fitting.id, f"the depth of {port.label}")
        outer = od.get((port.system, port.size))
        if outer is None:
            continue
        yield from _port(fitting, port, outer, tables)


def outsides(pipes: Iterable[Pipe]) -> dict[tuple[str, str], Dim]:
    """The outside diameter by system and size: the first pipe of each. [m] Source: the pipes."""
    found: dict[tuple[str, str], Dim] = {}
    for pipe in pipes:
        found.setdefault((pipe.system, pipe.size), pipe.od)
    return found


def _port(fitting: Fitting, port: FittingPort, od: Dim, tables: Tables) -> Iterator[Breach]:
    part = f"{fitting.id} {port.label}"
    floor = tables.floors.get((_FLOOR_ITEM.get(fitting.schedule, ""), port.size))
    if (
        floor
        and port.joint is JointKind.SOCKET
        and port.system == "ips"
        and port.depth.value < floor.value - ROUNDING
    ):
        yield Breach(
            "socket-too-shallow",
            part,
            port.depth.value,
            floor.value,
            "a socket is never shallower than its standard allows",
        )
    if fitting.angle_deg and port.joint in (JointKind.SOCKET, JointKind.SOLDER):
        least = least_takeout(od.value, fitting.angle_deg)
        if port.takeout.value <= least - _SAME:
            yield Breach(
                "takeout-too-short",
                part,
                port.takeout.value,
                least,
                "the take-out of a bend is more than OD/2 tan(angle/2)",
            )
    if port.joint is not JointKind.SPIGOT and fitting.outside.high <= od.value:
        yield Breach(
            "outside-too-small",
            part,
            fitting.outside.high,
            od.value,
            "a fitting is larger outside than the pipe it takes",
        )


def slips_of(
    pipes: tuple[Pipe, ...], fittings: tuple[Fitting, ...], tables: Tables
) -> tuple[Finding, ...]:
    """What the shipped tables get wrong by the shelf's own rules, and what is suspect in them. [m]

    Source: as :func:`breaches_of_pipe` and :func:`breaches_of_fitting`.
    """
    found = [b for p in pipes for b in breaches_of_pipe(p)]
    od = outsides(pipes)
    found += [b for f in fittings for b in breaches_of_fitting(f, od, tables)]
    slips = [
        finding(
            "shelf-slip",
            Weight.CHECK,
            numbers={"got": b.got, "limit": b.limit},
            names={"code": b.code, "part": b.part, "rule": b.rule},
            source="arithmetic",
        )
        for b in found
    ]
    return (*slips, *(s for f in fittings for s in f.findings))
