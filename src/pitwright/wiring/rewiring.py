"""Rewiring an opened box: which wire to which valve, splices, slack, labels, the test before cover.

Odd routes, a shallow wire and spare wires are findings with what they may mean; nothing odd is
tidied away in silence.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Missing, UnknownName
from pitwright.findings import Finding, Weight, finding
from pitwright.survey.harness import Harness
from pitwright.survey.harness_file import OpenedBox
from pitwright.wiring.tables import rows

__all__ = ["Connector", "Rewiring", "SpliceJob", "connectors", "rewiring"]

SLACK = 0.6
"""Wire left coiled at each valve, so that a bonnet comes off and a splice comes up. [m]"""
GRAVEL_CLEAR = 0.05
"""Height of a splice above the gravel, out of standing water. [m] Common practice, no source."""
SHALLOW = 6 * 0.0254
"""A wire less deep than this is found by a spade. [m] Common practice, no source."""
MOST_IN_ONE = 6


@dataclass(frozen=True, slots=True)
class Connector:
    """A splice connector: how many wires of a gauge it takes, least and most. [-]"""

    name: str
    awg: int
    least: int
    most: int
    source: str


@dataclass(frozen=True, slots=True)
class SpliceJob:
    """One splice to make: the wires that meet in it, their gauges, and the connectors that fit.

    ``kind`` is "hot", "common" or "through". ``split`` counts the splices it must become when no
    connector takes all wires at once.
    """

    kind: str
    box: str
    wires: tuple[str, ...]
    gauges: tuple[int, ...]
    fits: tuple[str, ...]
    split: int


@dataclass(frozen=True, slots=True)
class Rewiring:
    """The plan of one box.

    ``pairs``: (station, its wire's colour, common, its colour); ``slack`` per wire [m];
    ``labels`` in the order they are written; ``tests`` in the order they are made, before the box
    is covered; findings last.
    """

    box: str
    pairs: tuple[tuple[str, str, str, str], ...]
    splices: tuple[SpliceJob, ...]
    connectors: int
    slack: float
    labels: tuple[str, ...]
    tests: tuple[tuple[str, str, float, float], ...]
    findings: tuple[Finding, ...]


def connectors(extra: tuple[Connector, ...] = ()) -> tuple[Connector, ...]:
    """The list of connectors, the user's own first. Capacities from memory; the sheet decides."""
    shipped = tuple(
        Connector(r["connector"], int(r["awg"]), int(r["least"]), int(r["most"]), r["source"])
        for r in rows("splice_connectors")
    )
    return (*extra, *shipped)


def rewiring(
    harness: Harness, box: str, seen: OpenedBox | None = None, own: tuple[Connector, ...] = ()
) -> Rewiring:
    """The plan for one box. Raises UnknownName for the box, Missing when nothing is wired there.

    ``seen``: what was measured in the box; ``own``: the user's connectors. Lengths [m].
    """
    if box not in {b.id for b in harness.boxes}:
        raise UnknownName("box", box, [b.id for b in harness.boxes], "box")
    here = [s for s in harness.stations if s.box == box]
    through = [t for t in harness.throughs if t.box == box]
    if not here and not through:
        raise Missing(f"station in {box}", "no valve is wired in this box; name another")
    shelf = connectors(own)
    jobs: list[SpliceJob] = []
    for station in here:
        jobs.append(_job("hot", box, (station.id, f"{station.id} coil"), (station.awg, 18), shelf))
    for common in harness.commons:
        mine = [s for s in here if s.common == common.id]
        if not mine:
            continue
        runs = 1 + sum(
            box == b.after and b.id in harness.segments(common.id) for b in harness.boxes
        )
        wires = (
            *(f"{common.id} run {i + 1}" for i in range(runs)),
            *(f"{s.id} coil" for s in mine),
        )
        gauges = (*(common.awg for _ in range(runs)), *(18 for _ in mine))
        jobs.append(_job("common", box, wires, gauges, shelf))
    for one in through:
        gauge = harness.awg(one.conductor)
        ends = (f"{one.conductor} in", f"{one.conductor} out")
        jobs.append(_job("through", box, ends, (gauge, gauge), shelf))
    pairs = tuple(
        (s.id, harness.colour(s.id, box), s.common, harness.colour(s.common, box)) for s in here
    )
    return Rewiring(
        box,
        pairs,
        tuple(jobs),
        sum(j.split for j in jobs),
        SLACK,
        tuple(f"{s.id}" for s in here) + tuple(sorted({s.common for s in here})),
        tuple(_test(harness, s.id) for s in here),
        (*_findings(harness, box, seen), *_unfit(jobs)),
    )


def _test(harness: Harness, station: str) -> tuple[str, str, float, float]:
    """Ohms each pair must read before the cover goes on: coil scatter and wire both ways. [Ω]"""
    from pitwright.wiring.copper import ohm_per_metre

    one = harness.station(station)
    metres = harness.length_to(one.box)
    wire = metres * (
        ohm_per_metre(one.awg, harness.temperature)
        + ohm_per_metre(harness.awg(one.common), harness.temperature)
    )
    spread = 2.0 * harness.coil_rel * one.coil.dc_ohm + 0.1 * wire + 0.5
    middle = one.coil.dc_ohm + wire + 2.0 * harness.splice_ohm
    return station, one.common, middle - spread, middle + spread


def _job(
    kind: str,
    box: str,
    wires: tuple[str, ...],
    gauges: tuple[int, ...],
    shelf: tuple[Connector, ...],
) -> SpliceJob:
    """Connectors that take all wires, judged by the thickest; else how many splices it becomes."""
    fits = _fitting(gauges, shelf)
    split = 1
    while not fits and split < len(wires):
        split += 1
        # each further splice brings one jumper to it
        most = -(-(len(wires) + 2 * (split - 1)) // split)
        fits = _fitting((max(gauges, key=lambda g: -g),) * most, shelf)
    return SpliceJob(kind, box, wires, gauges, fits, split)


def _fitting(gauges: tuple[int, ...], shelf: tuple[Connector, ...]) -> tuple[str, ...]:
    thickest = min(gauges)
    return tuple(
        dict.fromkeys(
            c.name for c in shelf if c.awg == thickest and c.least <= len(gauges) <= c.most
        )
    )


def _unfit(jobs: list[SpliceJob]) -> tuple[Finding, ...]:
    return tuple(
        finding(
            "rewiring.no-connector",
            Weight.CHECK,
            numbers={"wires": float(len(j.wires)), "awg": float(min(j.gauges))},
            names={"splice": " + ".join(j.wires)},
        )
        for j in jobs
        if not j.fits
    )


def _findings(harness: Harness, box: str, seen: OpenedBox | None) -> tuple[Finding, ...]:
    said: list[Finding] = []
    for spare in harness.spares:
        if box in harness.route(spare.box):
            said.append(
                finding(
                    "rewiring.spare",
                    names={
                        "wire": spare.id,
                        "colour": harness.colour(spare.id, box),
                        "to": spare.box,
                    },
                )
            )
    for name in harness.conductors():
        segments = harness.segments(name)
        if box in segments and segments.index(box) > 0:
            before, now = (
                harness.colour(name, segments[segments.index(box) - 1]),
                harness.colour(name, box),
            )
            if before and now and before != now:
                said.append(
                    finding(
                        "rewiring.colour-changes",
                        Weight.CHECK,
                        names={"wire": name, "before": before, "now": now},
                    )
                )
    if seen is None:
        return tuple(said)
    if seen.wires_depth is not None and seen.wires_depth < SHALLOW:
        said.append(
            finding(
                "rewiring.shallow",
                Weight.CHECK,
                numbers={"depth": seen.wires_depth, "least": SHALLOW},
            )
        )
    if seen.slack is not None and seen.slack < SLACK:
        said.append(
            finding(
                "rewiring.no-slack", Weight.CHECK, numbers={"slack": seen.slack, "least": SLACK}
            )
        )
    if seen.gravel is not None and seen.depth is not None:
        room = seen.depth - seen.gravel
        if room < GRAVEL_CLEAR * 2:
            said.append(finding("rewiring.no-room", Weight.CHECK, numbers={"room": room}))
    said += [finding("rewiring.odd", Weight.CHECK, names={"seen": odd}) for odd in seen.odd]
    return tuple(said)
