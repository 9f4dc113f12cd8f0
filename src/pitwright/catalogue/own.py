"""The user's own shelf file: measured parts and parts of their own, laid over the built-in shelf.

What a file overrides stays visible in ``Dim.replaced``; the layout is in docs/shelf-file.md.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any, TypeVar

from pitwright.catalogue.parts import Dim, Fitting, FittingPort, Pipe
from pitwright.catalogue.rules import Breach, breaches_of_fitting, breaches_of_pipe, outsides
from pitwright.catalogue.shelf import Shelf, derived_tables
from pitwright.errors import BadInput, BrokenShelf, Duplicate, Malformed, Missing, UnknownName
from pitwright.findings import SourceKey
from pitwright.units.kinds import INCH
from pitwright.units.measure import measure

__all__ = ["with_user_shelf"]

P = TypeVar("P", Pipe, Fitting)

OWNER = SourceKey("owner")
MEASURED = INCH / 32
"""Plus or minus of a part measured with a tape, where none is typed. [m] judgement"""
NOT_MEASURED = INCH / 16
"""The same of a value from a sheet: what two makers differ by. [m] maker-A"""
LONGEST = 100 * INCH
_HEAD = {"unit", "note", "fitting", "pipe"}
_BOTH = {"id", "like", "name", "note", "measured"}
_FITTING = {*_BOTH, "takeout", "depth", "seat_to_seat", "outside", "overall", "collapsed", "stroke"}
_PIPE = {*_BOTH, "od", "wall", "bore"}
_PORT = {"takeout", "depth"}


@dataclass(frozen=True, slots=True)
class _Entry:
    """One ``[[fitting]]`` or ``[[pipe]]`` of the file, with the place to name in a message."""

    where: str
    given: Mapping[str, Any]
    unit: str
    line: int

    def word(self, key: str) -> str | None:
        got = self.given.get(key)
        if got is not None and (not isinstance(got, str) or not got.strip()):
            raise Malformed(f"{self.where}.{key}", got, "must be words", 'write it as "1 in elbow"')
        return got

    def measured(self) -> bool:
        got = self.given.get("measured", False)
        if not isinstance(got, bool):
            raise Malformed(
                f"{self.where}.measured", got, "must be true or false", "write true without quotes"
            )
        return got

    def dim(self, key: str, old: Dim | None, table: Mapping[str, Any] | None = None) -> Dim | None:
        """The new dimension under a key, over the old one; the old one where the key is absent."""
        given = self.given if table is None else table
        if key not in given:
            return old
        got = measure(
            given[key], default=self.unit, where=f"{self.where}.{key}", low=0.0, high=LONGEST
        )
        half = MEASURED if self.measured() else NOT_MEASURED
        half = got.limit.half if got.limit else half
        new = Dim(got.si, max(0.0, got.si - half), got.si + half, OWNER, "user", self.measured())
        return new.over(old) if old else new


def with_user_shelf(shelf: Shelf, text: str, file: str) -> Shelf:
    """The shelf with the user's own file laid over it.

    Parameters
    ----------
    text : str
        The file as TOML; lengths as people write them. [in unless ``unit`` says otherwise]
    file : str
        Its name, for messages.

    Raises Malformed, Missing, Duplicate, UnknownName, WrongUnit or OutOfRange with file and line,
    and BrokenShelf where a value breaks a rule of the shelf. Source: the user, who ranks above.
    """
    import tomllib

    try:
        whole = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as fault:
        raise Malformed("the file", str(fault), "is not TOML", "mend that line").at(file) from None
    try:
        entries = _entries(whole, text)
        return _laid_over(shelf, entries, file)
    except BadInput as mistake:
        raise mistake.at(file, _line_of(mistake.where, text)) from None


def _entries(whole: Mapping[str, Any], text: str) -> list[tuple[str, _Entry]]:
    _known("the file", whole, _HEAD)
    unit = whole.get("unit", "in")
    if unit not in ("in", "mm", "cm"):
        raise Malformed("unit", unit, "must be in, mm or cm", 'write unit = "in"')
    found: list[tuple[str, _Entry]] = []
    seen: set[str] = set()
    for kind in ("pipe", "fitting"):
        rows = whole.get(kind, [])
        if not isinstance(rows, list) or not all(isinstance(r, dict) for r in rows):
            raise Malformed(kind, rows, "must be a list of tables", f"write [[{kind}]] above each")
        for row in rows:
            id_ = row.get("id")
            if not isinstance(id_, str) or not id_.strip():
                raise Missing(f"{kind}.id", 'give each part an id, such as id = "elbow90-sch40-1"')
            if id_ in seen:
                raise Duplicate(f"{kind}.{id_}", id_, "is there twice", "keep one of the two")
            seen.add(id_)
            line = _line_of(f"{kind}.{id_}", text)
            entry = _Entry(f"{kind}.{id_}", row, unit, line or 0)
            entry.measured()
            found.append((kind, entry))
    return found


def _laid_over(shelf: Shelf, entries: list[tuple[str, _Entry]], file: str) -> Shelf:
    pipes = {p.id: p for p in shelf.pipes}
    fittings = {f.id: f for f in shelf.fittings}
    tables = derived_tables()
    for kind, entry in entries:
        if kind == "pipe":
            pipe = _pipe(entry, pipes)
            pipes[pipe.id] = pipe
            _refuse(breaches_of_pipe(pipe), entry, file)
        else:
            fitting = _fitting(entry, fittings)
            fittings[fitting.id] = fitting
            _refuse(breaches_of_fitting(fitting, outsides(pipes.values()), tables), entry, file)
    own = {f for x in fittings.values() for f in x.findings}
    slips = tuple(s for s in shelf.slips if s.code != "suspect-dimension" or s in own)
    return Shelf(
        tuple(pipes.values()), tuple(fittings.values()), shelf.threads, shelf.sources, slips
    )


def _refuse(breaches: Iterable[Breach], entry: _Entry, file: str) -> None:
    for b in breaches:
        got = f"{b.part}: {b.got / INCH:.4f} in against {b.limit / INCH:.4f} in"
        raise BrokenShelf(file, entry.line, got, b.rule, b.code, b.limit)


def _pattern(entry: _Entry, parts: Mapping[str, P], what: str) -> P:
    """The part an entry overrides, or the one it is like."""
    id_, like = entry.given["id"], entry.word("like")
    if like is None and id_ in parts:
        return parts[id_]
    if like is not None and like in parts:
        if id_ in parts:
            raise Duplicate(
                f"{entry.where}.id", id_, "is already on the shelf", "leave out like, or rename it"
            )
        return replace(parts[like], id=id_, name=entry.word("name") or id_)
    raise UnknownName(f"{entry.where}.{'like' if like else 'id'}", like or id_, parts, what)


def _pipe(entry: _Entry, pipes: Mapping[str, Pipe]) -> Pipe:
    _known(entry.where, entry.given, _PIPE)
    old = _pattern(entry, pipes, "pipe")
    od, wall = entry.dim("od", old.od), entry.dim("wall", old.wall)
    assert od is not None
    assert wall is not None
    return replace(
        old,
        name=entry.word("name") or old.name,
        od=od,
        wall=wall,
        bore=entry.dim("bore", old.bore),
    )


def _fitting(entry: _Entry, fittings: Mapping[str, Fitting]) -> Fitting:
    old = _pattern(entry, fittings, "part")
    labels = {p.label for p in old.ports}
    _known(entry.where, entry.given, _FITTING | labels)
    outside = entry.dim("outside", old.outside)
    assert outside is not None
    collapsed = entry.dim("collapsed", old.collapsed)
    overall = entry.dim("overall", old.overall)
    ports = tuple(_port(entry, port, old) for port in old.ports)
    ports = tuple(_by_length(entry, port, old.kind, overall, collapsed) for port in ports)
    renewed = any(p.takeout.replaced for p in ports)
    return replace(
        old,
        name=entry.word("name") or old.name,
        ports=ports,
        outside=outside,
        overall=overall,
        collapsed=collapsed,
        extended=_extended(entry, old, collapsed),
        findings=() if renewed else old.findings,
    )


def _extended(entry: _Entry, old: Fitting, collapsed: Dim | None) -> Dim | None:
    if collapsed is None or old.collapsed is None or old.extended is None:
        return old.extended
    stroke = entry.dim("stroke", None)
    if stroke is None and collapsed is old.collapsed:
        return old.extended
    reach = stroke.value if stroke else old.extended.value - old.collapsed.value
    half = (stroke.high - stroke.low) / 2 if stroke else 0.0
    return Dim(
        collapsed.value + reach,
        collapsed.low + reach - half,
        collapsed.high + reach + half,
        OWNER,
        "user",
        collapsed.measured and stroke is not None,
    ).over(old.extended)


def _port(entry: _Entry, port: FittingPort, old: Fitting) -> FittingPort:
    """One port with what the entry says of all ports, and then of this one."""
    takeout, depth = entry.dim("takeout", port.takeout), entry.dim("depth", port.depth)
    if "seat_to_seat" in entry.given:
        if old.angle_deg or len(old.ports) != 2 or "takeout" in entry.given:
            raise Malformed(
                f"{entry.where}.seat_to_seat",
                entry.given["seat_to_seat"],
                "is for straight bodies with two ends, instead of takeout",
                "give takeout for each port",
            )
        both = entry.dim("seat_to_seat", None)
        assert both is not None
        takeout = both.scaled(0.5).over(port.takeout)
    own = entry.given.get(port.label)
    if own is not None:
        if not isinstance(own, dict):
            raise Malformed(
                f"{entry.where}.{port.label}", own, "must be a table", 'write { depth = "1 1/8" }'
            )
        _known(f"{entry.where}.{port.label}", own, _PORT)
        takeout, depth = entry.dim("takeout", takeout, own), entry.dim("depth", depth, own)
    assert takeout is not None
    assert depth is not None
    return replace(port, takeout=takeout, depth=depth)


def _by_length(
    entry: _Entry, port: FittingPort, kind: str, overall: Dim | None, collapsed: Dim | None
) -> FittingPort:
    """The port after the body's own length: a seat lies half of it from the centre, less the depth.

    A stop-less coupling has no seat, so half its length is the depth. Source: arithmetic.
    """
    length = {
        "compression coupling": overall,
        "through coupling": overall,
        "telescoping coupling": collapsed,
    }.get(kind)
    changed = "overall" in entry.given or "collapsed" in entry.given or "depth" in entry.given
    if kind == "stopless coupling" and overall and overall.replaced and not port.depth.replaced:
        return replace(port, depth=replace(overall, replaced=()).scaled(0.5).over(port.depth))
    if length is None or not changed or port.takeout.replaced:
        return port
    value = length.value / 2 - port.depth.value
    half = (length.high - length.low) / 4 + (port.depth.high - port.depth.low) / 2
    if value < 0:
        raise Malformed(
            f"{entry.where}.depth",
            next(
                (entry.given[k] for k in ("depth", "overall", "collapsed") if k in entry.given), ""
            ),
            "must leave two grips within the length of the body",
            "measure the body's length and the grip again",
        )
    measured = length.measured and port.depth.measured
    new = Dim(value, max(0.0, value - half), value + half, OWNER, "user", measured)
    return replace(port, takeout=new.over(port.takeout))


def _known(where: str, given: Iterable[str], allowed: set[str]) -> None:
    for key in given:
        if key not in allowed:
            raise UnknownName(where, key, allowed, "key")


def _line_of(where: str, text: str) -> int | None:
    """The 1-based line that names the part in ``where``, when it can be told."""
    for kind in ("pipe.", "fitting."):
        rest = where.removeprefix(kind)
        if rest == where:
            continue
        for number, line in enumerate(text.splitlines(), 1):
            key, _, value = line.partition("=")
            named = value.split("#")[0].strip().strip("\"'")
            if key.strip() == "id" and named and (rest + ".").startswith(named + "."):
                return number
    return None
