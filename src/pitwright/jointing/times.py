"""Set and cure of one cemented joint: the longest of all tables for its cell, or why there is none.

A faster table is used only for a cement class that names it. Humid air lengthens; it says nothing
about wet sockets, which are refused whatever the factor.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.findings import Finding, Refusal, Short, Weight, finding, nearest_first
from pitwright.jointing.cells import Cell, Reading, pressure_tables, read_table
from pitwright.jointing.question import Cement, CementedJoint, cement_named, inches_of
from pitwright.jointing.tables import Factor, factors, rule
from pitwright.jointing.working import Working, working

__all__ = ["Disagreement", "JointTimes", "Longest", "disagreement", "factor_for", "joint_times"]


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Every pressure table's answer for one cell, unlengthened [s], slowest first.

    ``ratio`` is the longest over the shortest [-], 1 where only one table reaches the cell;
    ``silent`` are the tables that do not reach it, with what they lack.
    """

    kind: str
    readings: tuple[Reading, ...]
    silent: tuple[Short, ...]
    ratio: float


@dataclass(frozen=True, slots=True)
class Longest:
    """One time that counts: the slowest reading, times the factor. [s]

    ``factor`` is None where nothing lengthens. ``sources_differ`` holds all tables' answers.
    """

    seconds: float
    reading: Reading
    factor: Factor | None
    sources_differ: Disagreement


@dataclass(frozen=True, slots=True)
class JointTimes:
    """Every time of one cemented joint, from the last coat to water.

    ``coldest`` is which of air, pipe and ground the tables were entered by, ``kelvin`` how cold
    it is. [K] Set and cure in seconds; cure is never shorter than set.
    """

    joint: CementedJoint
    coldest: str
    kelvin: float
    working: Working
    set: Longest
    cure: Longest
    findings: tuple[Finding, ...]


def joint_times(joint: CementedJoint) -> JointTimes | Refusal:
    """Working, hand-hold, set and cure of one joint, or the refusal to cement it. [s, K]

    Raises Missing, OutOfRange, UnknownName. Source: each row's own, see ``cure.csv``.
    """
    joint.checked()
    cement = cement_named(joint.cement)
    by_label = bool(cement and cement.wet)
    if joint.wet and not by_label:
        return Refusal((_wet(cement),))
    coldest, kelvin = joint.coldest()
    tables = _tables(cement, joint.loose)
    cell = Cell(inches_of(joint.size), kelvin, joint.pressure)
    set_time = _longest("set", cell, tables, joint.humid)
    cure_time = _longest("cure", cell, tables, joint.humid)
    if isinstance(set_time, Refusal):
        return set_time
    if isinstance(cure_time, Refusal):
        return cure_time
    if not by_label and joint.wet_after is not None and joint.wet_after < set_time.seconds:
        return Refusal((_wet_too_soon(joint.wet_after, set_time.seconds, cement),))
    work = working(joint)
    found = (
        *_about_cell(cell, set_time, cure_time),
        *_about_cement(joint, cement, cell, cure_time),
        *_about_air(joint, set_time, cure_time),
        *work.findings,
    )
    return JointTimes(joint, coldest, kelvin, work, set_time, cure_time, found)


def disagreement(kind: str, cell: Cell, tables: tuple[str, ...] = ()) -> Disagreement:
    """How far the tables disagree about one cell; ``kind`` is "set" or "cure". [s, -]

    All pressure tables unless ``tables`` names some. Source: each row's own.
    """
    answers = [read_table(t, kind, cell) for t in tables or pressure_tables()]
    readings = [a for a in answers if isinstance(a, Reading)]
    readings.sort(key=lambda r: (-r.seconds, r.row.status != "sourced", r.table))
    silent = tuple(a for a in answers if isinstance(a, Short))
    ratio = readings[0].seconds / readings[-1].seconds if readings else 1.0
    return Disagreement(kind, tuple(readings), silent, ratio)


def factor_for(kind: str, humid: bool) -> Factor | None:
    """What lengthens a "set" or "cure" time: the largest multiplier that applies. [-]

    Source: ``cure_factor.csv``.
    """
    if not humid:
        return None
    rows = [
        f
        for f in factors()
        if f.condition == "humid" and f.multiplier is not None and kind in f.applies_to
    ]
    return max(rows, key=lambda f: (f.multiplier or 0.0, f.status == "sourced"))


def _tables(cement: Cement | None, loose: bool) -> tuple[str, ...]:
    """All pressure tables, or the one a named cement is made for; a loose fit asks all again."""
    if cement and cement.table and not loose:
        return (cement.table,)
    return pressure_tables()


def _longest(kind: str, cell: Cell, tables: tuple[str, ...], humid: bool) -> Longest | Refusal:
    asked = disagreement(kind, cell, tables)
    if not asked.readings:
        return Refusal(nearest_first(asked.silent), len(tables))
    factor = factor_for(kind, humid)
    slowest = asked.readings[0]
    times = factor.multiplier if factor and factor.multiplier else 1.0
    return Longest(slowest.seconds * times, slowest, factor, disagreement(kind, cell))


def _wet(cement: Cement | None) -> Short:
    tried = cement.words if cement else "ordinary cement"
    return Short("WET_SOCKET", "the joint", 0.0, 1.0, 1.0, "1", "without_cement", tried)


def _wet_too_soon(wet_after: float, set_s: float, cement: Cement | None) -> Short:
    """Water that seeps in before the joint is set; after that an open end lets it run out."""
    tried = cement.words if cement else "ordinary cement"
    missed = set_s - wet_after
    return Short("WET_BEFORE_SET", "the joint", wet_after, set_s, missed, "s", "slower_seep", tried)


def _about_cell(cell: Cell, set_time: Longest, cure_time: Longest) -> tuple[Finding, ...]:
    """Edges, heat, cold, unsaid pressure, tables that do not reach, rows from memory."""
    found: list[Finding] = []
    readings = (set_time.reading, cure_time.reading)
    if any(r.at_edge for r in readings):
        found.append(finding("band-edge", numbers={"kelvin": cell.kelvin}))
    if any(r.beyond for r in readings):
        top = max(r.row.temperature[1] for r in readings)
        numbers = {"kelvin": cell.kelvin, "top_K": top}
        found.append(finding("hotter-than-tables", Weight.CHECK, numbers=numbers))
    if cell.kelvin <= rule("cement_store_low").value:
        store = rule("cement_store_low")
        numbers = {"kelvin": cell.kelvin, "store_K": store.value}
        found.append(finding("cold-cement", Weight.CHECK, numbers=numbers, source=store.source))
    if cell.pressure is None:
        most = min(r.row.pressure[1] for r in cure_time.sources_differ.readings)
        found.append(finding("pressure-not-given", Weight.CHECK, numbers={"pressure": most}))
    for longest in (set_time, cure_time):
        if longest.reading.row.status != "sourced":
            names = {"kind": longest.sources_differ.kind}
            source = longest.reading.row.source
            found.append(finding("from-memory", Weight.CHECK, names=names, source=source))
    return tuple(found)


def _about_cement(
    joint: CementedJoint, cement: Cement | None, cell: Cell, cure_time: Longest
) -> tuple[Finding, ...]:
    """Which cement was counted with, and whether it suits; what is left of a seep."""
    stand = rule("stand_unknown_cement")
    if cement is None:
        numbers = {"seconds": stand.value}
        return (finding("cement-not-named", Weight.CHECK, numbers=numbers, source=stand.source),)
    found: list[Finding] = []
    names = {"cement": cement.words}
    if cement.table and not joint.loose:
        slow = cure_time.sources_differ.readings[0].seconds
        numbers = {"longest_s": slow, "used_s": cure_time.reading.seconds}
        source = cure_time.reading.row.source
        found.append(
            finding("one-table-by-class", Weight.CHECK, numbers=numbers, names=names, source=source)
        )
    if cement.table and joint.loose:
        found.append(finding("loose-fit", Weight.CHECK, names=names, source="maker-J3"))
    if cell.inches > cement.largest:
        numbers = {"largest_in": cement.largest}
        source = cement.source
        found.append(
            finding("cement-too-thin", Weight.CHECK, numbers=numbers, names=names, source=source)
        )
    if cement.wet and (joint.wet or joint.wet_after is not None):
        found.append(finding("wet-by-label", Weight.CHECK, names=names))
    return tuple(found)


def _about_air(joint: CementedJoint, set_time: Longest, cure_time: Longest) -> tuple[Finding, ...]:
    """Humid air, a seep that comes after the set, and tables that do not agree."""
    found: list[Finding] = []
    if joint.wet_after is not None and joint.wet_after >= set_time.seconds:
        numbers = {"wet_s": joint.wet_after, "set_s": set_time.seconds}
        found.append(finding("seep-after-set", Weight.CHECK, numbers=numbers))
    if joint.humid and cure_time.factor:
        source, times = cure_time.factor.source, cure_time.factor.multiplier or 1.0
        found.append(finding("humid-air", numbers={"times": times}, source=source))
    if cure_time.sources_differ.ratio > 1.0:
        numbers = {"ratio": cure_time.sources_differ.ratio}
        found.append(finding("tables-disagree", numbers=numbers, source="arithmetic"))
    return tuple(found)
