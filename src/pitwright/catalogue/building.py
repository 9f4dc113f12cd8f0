"""From tables to parts: one row of ``pipe.csv`` or ``fitting.csv`` makes a part in every size."""

from __future__ import annotations

from dataclasses import replace
from math import radians, tan

from pitwright.catalogue.derived import INCH_SIZES
from pitwright.catalogue.parts import Dim, Fitting, FittingPort, JointKind, Pipe
from pitwright.catalogue.tables import Tables, rows
from pitwright.catalogue.threads import Thread, npt_effective_length
from pitwright.errors import BrokenShelf
from pitwright.findings import Finding, SourceKey, Weight, finding
from pitwright.units.kinds import INCH, PSI

__all__ = ["build_fittings", "build_pipes", "build_threads", "least_takeout"]

_ZERO = Dim(0.0, 0.0, 0.0, SourceKey("arithmetic"), "derived")
_SPREAD_SYSTEM = {"inch-series": "inch series"}
_SIZES = (*INCH_SIZES, "20 mm", "25 mm", "32 mm", "40 mm", "50 mm", "63 mm", "3", "4", "6")


def build_pipes(tables: Tables) -> tuple[Pipe, ...]:
    """Every pipe of ``pipe.csv`` in every size that has its dimensions. Source: the rows. [m]"""
    ratings = {
        (item, size): (float(value) * PSI, SourceKey(source))
        for item, size, value, _unit, _bound, source, _status, _note in rows("pipe_rating")
    }
    pipes = []
    for row in rows("pipe"):
        for size in _SIZES:
            pipe = _pipe(row, size, tables, ratings)
            if pipe is not None:
                pipes.append(pipe)
    return tuple(pipes)


def _pipe(
    row: list[str],
    size: str,
    tables: Tables,
    ratings: dict[tuple[str, str], tuple[float, SourceKey]],
) -> Pipe | None:
    family, name, material, system, schedule, ratio, od, wall, bore, rating = row[:10]
    joints, round_, hazards, colours, stiffness, rank, prior, _source = row[10:]
    thick = tables.dims.get((wall, size))
    clear = tables.dims.get((bore, size)) if bore else None
    outside = _bore_controlled_od(clear, thick) if bore else tables.dims.get((od, size))
    if thick is None or outside is None:
        return None
    pressure = ratings.get((rating, size))
    return Pipe(
        f"{family}-{size.replace(' ', '')}",
        name.replace("{size}", size),
        family,
        material,
        system,
        size,
        schedule,
        outside,
        thick,
        clear,
        pressure[0] if pressure else None,
        pressure[1] if pressure else None,
        tuple(JointKind(j) for j in joints.split()),
        tables.dims.get((round_, size)),
        (hazards,) if hazards else (),
        tuple(colours.split()),
        stiffness,
        int(rank),
        float(prior),
        float(ratio) if ratio else None,
    )


def _bore_controlled_od(bore: Dim | None, wall: Dim | None) -> Dim | None:
    """Outside of a pipe whose bore is what the standard holds: bore and two walls. [m]"""
    if bore is None or wall is None:
        return None
    return Dim(
        bore.value + 2 * wall.value,
        bore.low + 2 * wall.low,
        bore.high + 2 * wall.high,
        bore.source,
        bore.status,
    )


def build_threads(tables: Tables) -> tuple[Thread, ...]:
    """NPT by its own formulae, BSP by its table. [m] Source: [ASME-B1.20.1], [ISO-7-1]."""
    npt, bsp = [], []
    d = tables.dims
    for size in INCH_SIZES:
        hand, per = d["npt_L1", size], d["npt_threads_per_inch", size]
        turns = d["plastic_turns_past", size]
        limits = (turns.low, turns.high)
        pitch, od = 1 / per.value, d["npt_od", size].value
        effective = npt_effective_length(od / INCH, pitch / INCH) * INCH
        npt.append(
            Thread(
                "npt",
                size,
                pitch,
                hand.value,
                effective,
                3 * pitch,
                od,
                limits,
                hand.source,
                hand.status,
            )
        )
        gauge = d["bsp_gauge_length", size]
        bsp.append(
            Thread(
                "bsp",
                size,
                d["bsp_pitch", size].value,
                gauge.value,
                d["bsp_useful_thread", size].value,
                d["bsp_fitting_allowance", size].value,
                d["bsp_major_at_gauge", size].value,
                limits,
                gauge.source,
                gauge.status,
            )
        )
    return (*npt, *bsp)


def build_fittings(tables: Tables, threads: tuple[Thread, ...]) -> tuple[Fitting, ...]:
    """Every fitting of ``fitting.csv`` in every size that has its dimensions. [m]

    Raises BrokenShelf where a row asks for a dimension no table has in any size. Source: the rows.
    """
    engaged = {(t.system, t.size): t.engagement() for t in threads}
    by_item: dict[str, list[str]] = {}
    for item, size in tables.dims:
        by_item.setdefault(item, []).append(size)
    fittings: list[Fitting] = []
    for number, row in enumerate(rows("fitting"), start=2):
        made = [
            fitting
            for size in _sizes_of(row, number, by_item)
            if (fitting := _fitting(row, size, tables, engaged)) is not None
        ]
        if not made:
            raise BrokenShelf("fitting", number, row[0], "a fitting needs its dimensions in a size")
        fittings += made
    return tuple(fittings)


def _sizes_of(row: list[str], number: int, by_item: dict[str, list[str]]) -> list[str]:
    """The sizes in which the dimension that tells this fitting apart is known."""
    for port in reversed(row[6].split(";")):
        takeout = port.split()[-2].removeprefix("half:")
        if takeout != "zero":
            break
    item = row[8] if takeout == "zero" else takeout
    if item not in by_item:
        raise BrokenShelf("fitting", number, item, "a fitting needs a dimension that exists")
    order = {s: i for i, s in enumerate(_SIZES)}
    return sorted(by_item[item], key=lambda s: [order.get(p, 99) for p in s.split(" x ")])


def _fitting(
    row: list[str], size: str, tables: Tables, engaged: dict[tuple[str, str], Dim]
) -> Fitting | None:
    id_, kind, name, schedule, material, angle, ports, outside = row[:8]
    overall, collapsed, stroke, _source = row[8:]
    made = [_port(p, size, tables, engaged) for p in ports.split(";")]
    wide = _look(tables, outside, size, size.split(" x ")[0])
    whole = [p for p in made if p is not None]
    if len(whole) < len(made) or wide is None:
        return None
    degrees = float(angle)
    if degrees and kind not in ("saddle",):
        whole = [_within_geometry(p, degrees, tables) for p in whole]
    short = _look(tables, collapsed, size, size) if collapsed else None
    travel = _look(tables, stroke, size, size) if stroke else None
    return Fitting(
        id_.replace("{size}", size.replace(" ", "")),
        kind,
        name.replace("{size}", size),
        size,
        schedule,
        material,
        degrees,
        tuple(whole),
        wide,
        _look(tables, overall, size, size) if overall else None,
        short,
        _extended(short, travel),
        _suspicions(ports, size, tables),
    )


def _port(
    text: str, size: str, tables: Tables, engaged: dict[tuple[str, str], Dim]
) -> FittingPort | None:
    label, joint, system, takeout_item, depth_item = text.rsplit(maxsplit=4)
    system, _, place = system.partition("#")
    own = size.split(" x ")[int(place) - 1] if place else size
    half = takeout_item.startswith("half:")
    takeout = _look(tables, takeout_item.removeprefix("half:"), size, own)
    depth = (
        engaged.get((system, own))
        if depth_item == "thread_engagement"
        else _look(tables, depth_item.removeprefix("half:"), size, own)
    )
    if takeout is None or depth is None:
        return None
    return FittingPort(
        label,
        JointKind(joint),
        _SPREAD_SYSTEM.get(system, system),
        own,
        takeout.scaled(0.5) if half else takeout,
        depth.scaled(0.5) if depth_item.startswith("half:") else depth,
    )


def _look(tables: Tables, item: str, size: str, own: str) -> Dim | None:
    if item == "zero":
        return _ZERO
    found = tables.dims.get((item, size)) or tables.dims.get((item, own))
    return found or tables.dims.get((item, size.split(" x ")[0]))


def _extended(collapsed: Dim | None, stroke: Dim | None) -> Dim | None:
    if collapsed is None or stroke is None:
        return None
    return Dim(
        collapsed.value + stroke.value,
        collapsed.low + stroke.low,
        collapsed.high + stroke.high,
        stroke.source,
        stroke.status,
    )


def least_takeout(od: float, angle_deg: float) -> float:
    """Least centre-to-seat length of an elbow or tee: OD/2 tan(angle/2). [m]

    Parameters
    ----------
    od : float
        Outside diameter of the pipe that meets the other. [m]
    angle_deg : float
        Bend between the two ports. [deg]

    Nearer than that the two pipe ends would meet inside the fitting. Source: [arithmetic].
    """
    return od / 2 * tan(radians(angle_deg) / 2)


def _within_geometry(port: FittingPort, angle_deg: float, tables: Tables) -> FittingPort:
    """The same port with its scatter cut off where two pipe ends would meet inside the fitting."""
    item = {"ips": "pvc_ips_od", "cts": "cts_od", "metric": "metric_od"}.get(port.system)
    od = tables.dims.get((item, port.size)) if item else None
    if od is None:
        return port
    least = min(least_takeout(od.value, angle_deg), port.takeout.value)
    low = max(port.takeout.low, least)
    return replace(port, takeout=replace(port.takeout, low=low))


def _suspicions(ports: str, size: str, tables: Tables) -> tuple[Finding, ...]:
    items = {p.split()[-2].removeprefix("half:") for p in ports.split(";")}
    return tuple(
        finding(
            "suspect-dimension",
            Weight.CHECK,
            numbers={"value": dim.value, "low": dim.low, "high": dim.high},
            names={"item": item, "size": size, "note": tables.suspects[item, size]},
            source=dim.source,
        )
        for item in sorted(items)
        if (item, size) in tables.suspects and (dim := tables.dims.get((item, size)))
    )
