"""The survey of one pit, put together from its sections."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import combinations
from pathlib import Path

from pitwright.catalogue.shelf import Shelf
from pitwright.errors import BadInput, Contradiction, Duplicate, Malformed, Missing, UnknownName
from pitwright.findings import Finding, PitId, StubId, ZoneId
from pitwright.geometry.vector import norm, sub
from pitwright.survey.box import Box, box_covers, read_box
from pitwright.survey.checks import doubts
from pitwright.survey.conditions import Conditions, read_conditions
from pitwright.survey.existing import Existing, read_existing
from pitwright.survey.header import Header, read_header
from pitwright.survey.lines import line_of, lines_of, path_of
from pitwright.survey.obstacles import Obstacle, read_obstacle
from pitwright.survey.parts import OwnPart, laid_over, read_part
from pitwright.survey.preferences import DEFAULTS, Preferences, read_preferences
from pitwright.survey.readings import Located, Tool, default_tools, tool_of
from pitwright.survey.section import Bench, Section, named_sections
from pitwright.survey.source import tables_of, text_of
from pitwright.survey.stubs import Side, Stub, read_stub
from pitwright.survey.valves import ValveBody, read_valve
from pitwright.survey.water import Water, read_water
from pitwright.survey.zones import Zone, read_zone
from pitwright.units.kinds import INCH

__all__ = ["UNITS", "Survey", "from_tables", "load_survey", "read_survey"]

UNITS = ("in", "ft", "mm", "cm", "m")
_NO_ZONE = ("stub-serves-no-zone", "valve-not-asked-for")
_LONGEST_NAME = 60
_ONE_PLACE = INCH / 2
"""Two pipes cannot have their middles nearer than this. [m]"""
_OUTSIDE = INCH / 2
"""A tip may read this far outside the box before it is a slip. [m] Judgement."""


@dataclass(frozen=True, slots=True)
class Survey:
    """One opened pit as it was measured: SI; x right, y downstream, z up from the datum.

    ``text`` is the file verbatim; ``unit`` the default unit of its lengths; ``downstream`` says
    in words where y points; ``shelf`` is the shelf to plan with.
    """

    id: PitId
    name: str
    unit: str
    downstream: str
    datum: str
    opened: str
    note: str
    box: Box
    points: tuple[tuple[str, Located], ...]
    stubs: tuple[Stub, ...]
    zones: tuple[Zone, ...]
    valves: tuple[ValveBody, ...]
    existing: tuple[Existing, ...]
    obstacles: tuple[Obstacle, ...]
    parts: tuple[OwnPart, ...]
    conditions: Conditions | None
    water: Water | None
    preferences: Preferences
    findings: tuple[Finding, ...]
    shelf: Shelf
    text: str
    file: str
    header: Header | None = None

    def stub(self, stub: StubId) -> Stub:
        """The stub of that id. Raises UnknownName."""
        for one in self.stubs:
            if one.id == stub:
                return one
        raise UnknownName("stub", stub, [s.id for s in self.stubs], "stub")

    def zone(self, zone: ZoneId) -> Zone:
        """The zone of that id. Raises UnknownName."""
        for one in self.zones:
            if one.id == zone:
                return one
        raise UnknownName("zone", zone, [z.id for z in self.zones], "zone")

    def valve(self, name: str) -> ValveBody:
        """The new valve of that name. Raises UnknownName."""
        for one in self.valves:
            if one.name == name:
                return one
        raise UnknownName("valve", name, [v.name for v in self.valves], "valve")


def load_survey(path: str | Path, shelf: Shelf) -> Survey:
    """The survey in a file. Raises BadInput with file and, where it can be had, the line."""
    return read_survey(text_of(path), str(path), shelf)


def read_survey(text: str, file: str, shelf: Shelf) -> Survey:
    """The survey in a text.

    ``file`` is only named in messages; ``shelf`` knows the pipes. Raises BadInput, one mistake,
    with the file and, where it can be had, the line.
    """
    text = text.removeprefix("\ufeff")
    try:
        return from_tables(tables_of(text), text, file, shelf)
    except BadInput as mistake:
        line = mistake.line or line_of(mistake.where, lines_of(text))
        raise mistake.at(file, line) from None


def from_tables(tables: dict[str, object], text: str, file: str, shelf: Shelf) -> Survey:
    """The survey in TOML's own tables. SI. Raises BadInput without file or line."""
    bare = Bench("in", default_tools(), {})
    root = Section(tables, "", "", bare)
    for key in ("pit", "box", "stub", "zone"):
        root.need(key, _WANTED[key])
    head = Section(tables["pit"], "pit", "pit", bare)
    bench = _bench(root, head)
    root = Section(tables, "", "", bench)
    parts = tuple(read_part(n, s) for n, s in _named(root, "part").items())
    shelf = laid_over(shelf, parts)
    stubs = tuple(read_stub(name, section, shelf) for name, section in _named(root, "stub").items())
    valves = tuple(read_valve(n, s) for n, s in _named(root, "valve").items())
    box = read_box(Section(tables["box"], "box", "box", bench))
    _placed(stubs, box)
    zones = _zones(root, stubs, valves)
    degrees = "F" if bench.unit in ("in", "ft") else "C"
    conditions, water = root.sub("conditions", "conditions"), root.sub("water", "water")
    wishes = root.sub("preferences", "preferences")
    obstacles = tuple(read_obstacle(n, s) for n, s in _named(root, "obstacle").items())
    asked = root.sub("header", "header")
    names = [o.name for o in obstacles]
    header = read_header(asked, stubs, zones, valves, names) if asked else None
    found = doubts(stubs, zones, valves, parts, shelf)
    told = {("stub", str(header.feed)), ("valve", header.shut_off or "")} if header else set()
    return Survey(
        id=PitId(_name(head)),
        name=_name(head),
        unit=bench.unit,
        downstream=head.text("downstream"),
        datum=head.text("datum"),
        opened=head.text("opened"),
        note=head.text("note"),
        box=box,
        points=tuple(bench.points.items()),
        stubs=stubs,
        zones=zones,
        valves=valves,
        existing=_existing(root, zones),
        obstacles=obstacles,
        parts=parts,
        conditions=read_conditions(conditions, degrees) if conditions else None,
        water=read_water(water) if water else None,
        preferences=read_preferences(wishes) if wishes else DEFAULTS,
        findings=tuple(f for f in found if f.code not in _NO_ZONE or not told & set(f.names)),
        shelf=shelf,
        text=text,
        file=file,
        header=header,
    )


_WANTED = {
    "pit": "begin with [pit], its name and its unit",
    "box": "measure the box: [box] with mouth, grade and floor",
    "stub": "measure at least two stubs, each under [stub.name]",
    "zone": "say which stubs a zone joins, under [zone.name]",
}


def _name(head: Section) -> str:
    name = head.text("name")
    if not name:
        raise Missing(head.at("name"), "give the pit a name you will know it by")
    return name


def _bench(root: Section, head: Section) -> Bench:
    """The default unit, the tools as the person has them, and the named points in file order."""
    unit = head.choice("unit", UNITS, None)
    bench = Bench(unit, _tools(root, unit), {})
    table = root.table.get("points", {})
    if not isinstance(table, dict):
        raise Malformed("points", table, "must be a table", "write each point under [points]")
    points: dict[str, Located] = {}
    for name, value in table.items():
        _named_well(name, path_of("points", name))
        reader = Section({}, "points", "", Bench(unit, bench.tools, points))
        points[name] = reader.point(value, path_of("points", name))
    return Bench(unit, bench.tools, points)


def _tools(root: Section, unit: str) -> Mapping[str, Tool]:
    tools = dict(default_tools())
    table = root.table.get("tools", {})
    if not isinstance(table, dict):
        raise Malformed("tools", table, "must be a table", 'as in [tools] tape = "1/32 in"')
    for name, value in table.items():
        where = path_of("tools", name)
        if name not in tools:
            raise UnknownName(where, name, tools, "tool")
        tool = tools[name]
        tools[name] = tool_of(tool, value, unit=unit, where=where)
    return tools


def _named(root: Section, key: str) -> dict[str, Section]:
    """Named tables whose names differ by more than their capitals. Raises Duplicate."""
    sections = named_sections(root, key)
    seen: dict[str, str] = {}
    for name in sections:
        known = seen.setdefault(" ".join(name.casefold().split()), name)
        if known != name:
            raise Duplicate(
                path_of(key, name),
                name,
                f'must differ from "{known}" by more than capitals',
                "rename one",
            )
        _named_well(name, path_of(key, name))
    return sections


def _named_well(name: str, where: str) -> None:
    """A name that can be said on one line. Raises Malformed."""
    if not name.strip() or len(name) > _LONGEST_NAME or not name.isprintable():
        rule = f"must have a name of 1 to {_LONGEST_NAME} plain characters"
        raise Malformed(where, name, rule, "give it a short one")


def _placed(stubs: Iterable[Stub], box: Box) -> None:
    """Every tip lies in the opened hole, no two at one place. Raises BadInput."""
    for stub in stubs:
        if not box_covers(box, stub.tip, _OUTSIDE):
            raise Contradiction(
                path_of("stub", stub.id, "tip"),
                _typed(stub.tip),
                "must lie inside the box, between gravel and ground",
                "check the signs and the datum; [box] soil says how far the soil is dug away",
            )
    for a, b in combinations(stubs, 2):
        if norm(sub(a.tip.mean, b.tip.mean)) < _ONE_PLACE:
            raise Duplicate(
                path_of("stub", b.id, "tip"),
                _typed(b.tip),
                f'must not stand where stub "{a.id}" stands',
                "measure both again",
            )


def _typed(at: Located) -> str:
    return ", ".join(r.text for r in at.readings)


def _zones(
    root: Section, stubs: tuple[Stub, ...], valves: tuple[ValveBody, ...]
) -> tuple[Zone, ...]:
    """The zones, each on an inlet and an outlet of its own. Raises BadInput."""
    sides = {s.id: s.side for s in stubs}
    taken: dict[StubId, str] = {}
    zones: list[Zone] = []
    for name, section in _named(root, "zone").items():
        zone = read_zone(name, section, list(sides), [v.name for v in valves])
        for key, stub, side in (
            ("inlet", zone.inlet, Side.INLET),
            ("outlet", zone.outlet, Side.OUTLET),
        ):
            if sides[stub] is not side:
                raise Contradiction(
                    section.at(key),
                    stub,
                    f"must be an {side.value} stub",
                    f'stub "{stub}" says side = "{sides[stub].value}"',
                )
            if stub in taken:
                raise Duplicate(
                    section.at(key),
                    stub,
                    f'must not be a stub of zone "{taken[stub]}" too',
                    "each stub serves one zone",
                )
            taken[stub] = name
        zones.append(zone)
    return tuple(zones)


def _existing(root: Section, zones: tuple[Zone, ...]) -> tuple[Existing, ...]:
    found = []
    for name, section in _named(root, "existing").items():
        one = read_existing(name, section)
        if one.zone and one.zone not in [z.id for z in zones]:
            raise UnknownName(section.at("zone"), one.zone, [z.id for z in zones], "zone")
        found.append(one)
    return tuple(found)
