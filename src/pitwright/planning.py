"""The plan of a pit: every zone asked about, its options ranked, or its refusal.

``planning`` asks the ways to renew and decides nothing about geometry itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from pitwright.choice import NODES, NoChoice
from pitwright.findings import Finding, Refusal, Short, Weight, ZoneId, finding
from pitwright.joining.assembly import Step
from pitwright.load.pick_list import PickLine, pick_list, pipe_to_load
from pitwright.ranking import ranked
from pitwright.renewal.beside import Beside, Planned, beside
from pitwright.renewal.between import between_stubs
from pitwright.renewal.from_feed import FromFeed
from pitwright.renewal.option import Option
from pitwright.renewal.proving import warmth_known
from pitwright.renewal.shut_off import ShutOff
from pitwright.renewal.way import WayAnswer
from pitwright.side_by_side import Together, merits_of, side_by_side
from pitwright.survey.pit import Survey
from pitwright.survey.zones import Zone

__all__ = [
    "Load",
    "Plan",
    "ZonePlan",
    "as_chosen",
    "beside_load",
    "plan",
    "planned_zone",
    "put_together",
]

MOST_BENDS = 4
"""How many bends the search tries in a train. [-]"""
KERF = 0.002
"""What a saw turns to dust in one cut. Judgement. [m]"""
_CUTS = 12
"""So many saw cuts are allowed for in the pipe of a way beside the trains. Judgement. [-]"""
_SCREWED = {"make_up_unit", "screw_on", "spin_off_old"}


@dataclass(frozen=True, slots=True)
class ZonePlan:
    """One zone: its options, best first, or why there is none.

    Beside options, ``passed_over`` tells the nearest miss of each kind of limit; ``ways``
    tells what every way that was asked came to.
    """

    zone: Zone
    answer: tuple[Option, ...] | Refusal
    passed_over: tuple[Short, ...] = ()
    ways: tuple[WayAnswer, ...] = ()

    @property
    def best(self) -> Option | None:
        """The first option, or None when the zone is refused."""
        return None if isinstance(self.answer, Refusal) else self.answer[0]


@dataclass(frozen=True, slots=True)
class Load:
    """What the best options need together: fittings, and pipe by name. [m]

    ``wants`` are the occasions of the work by which consumables and tools are picked ("glue",
    "thread", "joint", "valve").
    """

    lines: tuple[PickLine, ...]
    pipes: tuple[tuple[str, float], ...]
    wants: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Plan:
    """The whole pit. ``findings`` concern the pit, not one option; ``beside`` are the ways that
    are no train between two stubs.
    """

    survey: Survey
    zones: tuple[ZonePlan, ...]
    load: Load
    findings: tuple[Finding, ...]
    beside: tuple[Beside, ...] = ()

    @property
    def refused(self) -> tuple[ZonePlan, ...]:
        """The zones without any option."""
        return tuple(z for z in self.zones if isinstance(z.answer, Refusal))


def plan(survey: Survey) -> Plan:
    """The plan of every zone that asks for a new valve or to be joined without one. [m]

    In the order of the survey.
    Source: each option carries its own; the ranking is docs/decisions/0004.
    """
    return put_together(survey, tuple(planned_zone(survey, z) for z in survey.zones if z.planned))


def put_together(survey: Survey, alone: tuple[ZonePlan, ...]) -> Plan:
    """The plan of zones that were planned one by one, each by :func:`planned_zone`. [m]

    Source: the options that go together, at the fewest points in all.
    """
    zones, clashes = _side_by_side(survey, alone)
    findings = (*_findings(survey, zones), *clashes)
    return Plan(survey, zones, _load(survey, zones), findings, beside(survey))


def as_chosen(plan: Plan, chosen: Mapping[ZoneId, Option]) -> Plan:
    """The plan with the options a person chose in the first place of their zones, and what to load,
    and in which order to work, told of those. [m, s]

    Options are of the plan itself. Source: as for the plan.
    """
    zones = tuple(_with_first(z, _place(z, chosen.get(z.zone.id))) for z in plan.zones)
    told = _worked_together(plan.survey, [z for z in zones if z.best is not None])
    findings = (*_findings(plan.survey, zones), *told)
    return replace(plan, zones=zones, load=_load(plan.survey, zones), findings=findings)


def _place(zone: ZonePlan, option: Option | None) -> int:
    if option is None or isinstance(zone.answer, Refusal):
        return 0
    return next((n for n, o in enumerate(zone.answer) if o is option), 0)


def _worked_together(survey: Survey, zones: Sequence[ZonePlan]) -> tuple[Finding, ...]:
    """In which order the first options of several zones are worked, or that they cannot be."""
    best = [z.best for z in zones if z.best is not None]
    if len(best) < 2:
        return ()
    got = side_by_side([(o,) for o in best], survey.preferences.weights)
    if isinstance(got, NoChoice):
        names = ", ".join(z.zone.name for z in zones)
        return (finding("chosen_clash", Weight.STOP, names={"zones": names}),)
    return (_order_told(zones, got),)


def _order_told(zones: Sequence[ZonePlan], got: Together) -> Finding:
    names = {"zones": ", ".join(zones[n].zone.name for n in got.order)}
    return finding("zones_order", numbers={"water": got.water}, names=names, source="arithmetic")


def planned_zone(survey: Survey, zone: Zone) -> ZonePlan:
    """One zone alone, as if the pit had no other. [m] Source: as for the plan."""
    most = min(MOST_BENDS, survey.preferences.most_bends)
    got = between_stubs(survey, zone, most)
    if got.refusal is not None:
        return ZonePlan(zone, got.refusal, (), got.ways)
    found = got.options
    merits = [merits_of(option) for option in found]
    order = ranked(merits, survey.preferences.weights)
    return ZonePlan(zone, tuple(found[i] for i in order), got.passed_over, got.ways)


def _side_by_side(
    survey: Survey,
    zones: tuple[ZonePlan, ...],
) -> tuple[tuple[ZonePlan, ...], tuple[Finding, ...]]:
    """The zones with the options first that go together, at the fewest points in all.

    Where no options go together each zone keeps its own order, and the clash is said.
    """
    open_zones = [z for z in zones if not isinstance(z.answer, Refusal)]
    if len(open_zones) < 2:
        return zones, ()
    options = [z.answer for z in open_zones if not isinstance(z.answer, Refusal)]
    got = side_by_side(options, survey.preferences.weights)
    if isinstance(got, NoChoice) and not got.proved:
        return zones, (_not_proved(got.nodes),)
    if isinstance(got, NoChoice):
        names = ", ".join(z.zone.name for z in open_zones)
        return zones, (finding("zones_clash", Weight.STOP, names={"zones": names}),)
    picked = {z.zone.id: n for z, n in zip(open_zones, got.picks, strict=True)}
    moved = [z for z in open_zones if picked[z.zone.id]]
    told = tuple(finding("chosen_for_neighbour", names={"zone": z.zone.name}) for z in moved)
    numbers = {"nodes": float(got.nodes), "most": float(NODES), "zones": float(len(options))}
    proved = finding("choice_proved", numbers=numbers, source="arithmetic")
    ordered = _order_told(open_zones, got)
    told = (*told, proved if got.proved else _not_proved(got.nodes), ordered)
    return tuple(_with_first(z, picked.get(z.zone.id, 0)) for z in zones), told


def _not_proved(nodes: int) -> Finding:
    """The node limit was reached: what is shown goes together, but a better one may exist."""
    numbers = {"nodes": float(nodes), "most": float(NODES)}
    return finding("choice_cut_short", Weight.CHECK, numbers=numbers, source="arithmetic")


def _with_first(zone: ZonePlan, first: int) -> ZonePlan:
    """The zone with one of its options moved to the front."""
    if isinstance(zone.answer, Refusal) or first == 0:
        return zone
    rest = tuple(o for n, o in enumerate(zone.answer) if n != first)
    return replace(zone, answer=(zone.answer[first], *rest))


def _load(survey: Survey, zones: tuple[ZonePlan, ...]) -> Load:
    best = [z.best for z in zones if z.best is not None]
    lines = pick_list((line for option in best for line in option.parts), _on_truck(survey))
    pipes: dict[str, float] = {}
    for name in dict.fromkeys(o.pipe_name for o in best):
        mine = [o for o in best if o.pipe_name == name]
        cuts = sum(len(o.cuts.pieces) for o in mine)
        pipes[name] = pipe_to_load(sum(o.pipe for o in mine), cuts, KERF)
    steps = [step for o in best if o.assembly for step in o.assembly.steps]
    wants = _wants(steps, bool(best))
    if any(z.zone.valve for z in zones if z.best is not None):
        wants = (*wants, "valve")
    return Load(lines, tuple(pipes.items()), wants)


def _wants(steps: Iterable[Step], joined: bool) -> tuple[str, ...]:
    """What consumables are for: something is joined, glued, screwed. [-]"""
    codes = {step.code for step in steps}
    glued = any("last_coat" in dict(step.numbers) for step in steps)
    said = (("joint", joined), ("glue", glued), ("thread", bool(codes & _SCREWED)))
    return tuple(name for name, holds in said if holds)


def beside_load(survey: Survey, way: Planned) -> Load:
    """What one way beside the trains needs by itself, with spares, less the truck's. [m]

    Each length of pipe with a spare foot. Source: common practice, no source.
    """
    lines = pick_list(way.parts, _on_truck(survey))
    if isinstance(way, ShutOff):
        pipes: tuple[tuple[str, float], ...] = ((way.pipe_name, way.pipe),)
    else:
        pipes = way.pipes if isinstance(way, FromFeed) else ()
    told = ((name, pipe_to_load(length, _CUTS, KERF)) for name, length in pipes if length > 0.0)
    if isinstance(way, ShutOff | FromFeed):
        branches = way.branches if isinstance(way, FromFeed) else ()
        steps = [*way.steps, *(s for o in branches if o.assembly for s in o.assembly.steps)]
        wants = _wants(steps, True)
        return Load(lines, tuple(told), (*wants, "valve") if branches else wants)
    coil = any("coil" in name for name, _ in way.parts)
    return Load(lines, tuple(told), ("valve",) if coil else ())


def _on_truck(survey: Survey) -> dict[str, int]:
    return {
        _part_name(survey, p.kind, p.size, p.angle, p.schedule): p.count
        for p in survey.parts
        if p.where == "truck"
    }


def _part_name(survey: Survey, kind: str, size: str, angle: float, schedule: str) -> str:
    part = survey.shelf.fitting(kind, size, angle, schedule)
    return part.name if part else f"{size} {kind}"


def _findings(survey: Survey, zones: tuple[ZonePlan, ...]) -> Iterator[Finding]:
    yield finding("dry_fit", Weight.CHECK)
    if not warmth_known(survey):
        yield finding("warmth_not_read", Weight.CHECK)
    unasked = [z.name for z in survey.zones if not z.planned and z.shut_off is None]
    if unasked:
        yield finding("zones_left_alone", names={"zones": ", ".join(unasked)})
