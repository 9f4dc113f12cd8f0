"""How far the work is: joints made, pieces as they were really cut, stubs measured again.

A progress file says only what has changed since the plan; everything else stands in the survey.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from pitwright.errors import BadInput, Malformed, Missing, OutOfRange, UnknownName
from pitwright.findings import StubId, ZoneId
from pitwright.survey.keys import PROGRESS_KEYS
from pitwright.survey.lines import line_of, lines_of, path_of
from pitwright.survey.pit import Survey, from_tables
from pitwright.survey.readings import Reading, default_tools, read_one
from pitwright.survey.source import tables_of, text_of
from pitwright.survey.stubs import Stub

__all__ = [
    "NOTHING_DONE",
    "Again",
    "Progress",
    "ZoneProgress",
    "load_progress",
    "progress_of",
    "read_progress",
]

STUB_CUTS = ("inlet", "outlet")
"""How the cuts at the stubs are called beside the letters of the pieces."""
_MOST = 99


@dataclass(frozen=True, slots=True)
class ZoneProgress:
    """What is done in one zone.

    ``option`` is which option of the plan is being built, by its name, or counted from 1, which
    means another train once the ranking changes; None is the first. ``joints`` are the joints
    made, counted from 1 at the inlet stub; ``cut`` are lengths as really cut, by letter, and
    "inlet" or "outlet" for what came off a stub; ``marked`` are lengths read in place at the dry
    fit, of pieces cut since or not yet. [m]
    """

    zone: ZoneId
    option: int | str | None = None
    joints: tuple[int, ...] = ()
    cut: tuple[tuple[str, Reading], ...] = ()
    marked: tuple[tuple[str, Reading], ...] = ()


@dataclass(frozen=True, slots=True)
class Again:
    """A stub measured again: as it is now, which of its keys were read anew, and what broke.

    Where parts are glued to it, tip and facing are those of the open end they leave.
    """

    stub: Stub
    keys: tuple[str, ...]
    broken: str = ""

    @property
    def turned(self) -> bool:
        """Whether its direction was read anew."""
        return "faces" in self.keys or "through" in self.keys


@dataclass(frozen=True, slots=True)
class Progress:
    """How far the work is, zone by zone, and the stubs measured again."""

    zones: tuple[ZoneProgress, ...] = ()
    again: tuple[Again, ...] = field(default=())

    def zone(self, zone: ZoneId) -> ZoneProgress:
        """What is done in a zone: nothing when it is not named."""
        return next((z for z in self.zones if z.zone == zone), ZoneProgress(zone))

    def stub(self, stub: StubId) -> Again | None:
        """The stub as it was measured again, None when it was not."""
        return next((a for a in self.again if a.stub.id == stub), None)

    def with_more(self, more: Progress) -> Progress:
        """Both together; what ``more`` says of a letter, an option or a stub counts. Source: none
        needed."""
        zones = []
        for zone in dict.fromkeys(z.zone for z in (*self.zones, *more.zones)):
            old, new = self.zone(zone), more.zone(zone)
            zones.append(
                ZoneProgress(
                    zone,
                    old.option if new.option is None else new.option,
                    tuple(sorted({*old.joints, *new.joints})),
                    tuple({**dict(old.cut), **dict(new.cut)}.items()),
                    tuple({**dict(old.marked), **dict(new.marked)}.items()),
                )
            )
        mine = {a.stub.id: a for a in (*self.again, *more.again)}
        return Progress(tuple(zones), tuple(mine.values()))


NOTHING_DONE = Progress()


def load_progress(path: str | Path, survey: Survey) -> Progress:
    """The progress in a file. Raises BadInput with the file and, where it can be had, the line."""
    return read_progress(text_of(path), str(path), survey)


def read_progress(text: str, file: str, survey: Survey) -> Progress:
    """The progress in a text, against the survey it belongs to. Lengths in SI.

    Raises BadInput, one mistake, with the file and, where it can be had, the line.
    """
    text = text.removeprefix("\ufeff")
    if not text.strip():
        return NOTHING_DONE
    try:
        return progress_of(tables_of(text), survey)
    except BadInput as mistake:
        line = mistake.line or line_of(mistake.where, lines_of(text))
        raise mistake.at(file, line) from None


def progress_of(
    tables: dict[str, object], survey: Survey, earlier: Sequence[dict[str, object]] = ()
) -> Progress:
    """The progress in TOML's own tables. SI. Raises BadInput (UnknownName among them) without
    file or line.

    ``earlier`` are the tables of stages before it, the first one first: what was measured again
    then counts for a stub that is measured once more.
    """
    _known(tables, "", "")
    zones = tuple(
        _zone(name, _table(value, path_of("zone", name)), survey)
        for name, value in _table(tables.get("zone", {}), "zone").items()
    )
    stubs = _table(tables.get("stub", {}), "stub")
    names = [str(s.id) for s in survey.stubs]
    for name, value in stubs.items():
        where = path_of("stub", name)
        if name not in names:
            raise UnknownName(where, name, names, "stub")
        _known(_table(value, where), where, "stub.*")
    before = [_table(one.get("stub", {}), "stub") for one in earlier]
    return Progress(zones, _again(stubs, survey, before))


def _table(value: object, where: str) -> dict[str, object]:
    if not isinstance(value, dict):
        raise Malformed(where, value, "must be a table", f"write its keys under [{where}]")
    return value


def _known(table: Mapping[str, object], where: str, shape: str) -> None:
    for key in table:
        if key not in PROGRESS_KEYS[shape]:
            here = path_of(*([*where.split("."), key] if where else [key]))
            raise UnknownName(here, key, PROGRESS_KEYS[shape], "key here")


def _zone(name: str, table: dict[str, object], survey: Survey) -> ZoneProgress:
    where = path_of("zone", name)
    planned = [str(z.id) for z in survey.zones if z.planned]
    if name not in planned:
        raise UnknownName(where, name, planned, "zone that is planned")
    _known(table, where, "zone.*")
    option = _option(table["option"], f"{where}.option") if "option" in table else None
    cut = _lengths(table, where, "cut", survey)
    marked = _lengths(table, where, "marked", survey)
    return ZoneProgress(ZoneId(name), option, _joints(table, where), cut, marked)


def _option(value: object, where: str) -> int | str:
    """An option by its name, or by its number. Which names there are only the plan knows."""
    if isinstance(value, str) and value.strip() and not value.strip().isdigit():
        return " ".join(value.split())
    if isinstance(value, bool) or not isinstance(value, int):
        hint = 'write "cut in: 45-45, direct-direct, valve on leg 1", or 1 for the first'
        raise Malformed(where, value, "must be an option's name or its number", hint)
    if not 1 <= value <= _MOST:
        raise OutOfRange(where, value, 1, _MOST, "count as the plan does")
    return value


def _joints(table: dict[str, object], where: str) -> tuple[int, ...]:
    value, here = table.get("joints", []), f"{where}.joints"
    if not isinstance(value, list) or len(value) > _MOST:
        raise Malformed(here, value, "must be a list of numbers", "write it as [1, 2]")
    for number in value:
        if isinstance(number, bool) or not isinstance(number, int):
            raise Malformed(here, number, "must be a joint's number", "write it as [1, 2]")
        if not 1 <= number <= _MOST:
            raise OutOfRange(here, number, 1, _MOST, "count as the plan does")
    return tuple(sorted(set(value)))


def _lengths(
    table: dict[str, object], where: str, key: str, survey: Survey
) -> tuple[tuple[str, Reading], ...]:
    tape = default_tools()["tape"]
    found = []
    for name, typed in _table(table.get(key, {}), f"{where}.{key}").items():
        letter = name.casefold() if name.casefold() in STUB_CUTS else name.upper()
        here = f"{where}.{key}.{name}"
        found.append((letter, read_one(typed, tape, unit=survey.unit, where=here, low=0.0)))
    return tuple(found)


def _again(
    stubs: Mapping[str, object], survey: Survey, earlier: Sequence[Mapping[str, object]]
) -> tuple[Again, ...]:
    """The stubs measured again: their new keys laid over the survey's, and read as it is."""
    if not stubs:
        return ()
    tables = tables_of(survey.text)
    old = _table(tables["stub"], "stub")
    told: dict[str, tuple[tuple[str, ...], str]] = {}
    for name, value in stubs.items():
        kept = dict(_table(old[name], path_of("stub", name)))
        for one in (*earlier, {name: value}):
            if name in one:
                new = dict(_table(one[name], path_of("stub", name)))
                broken = _broken(new, path_of("stub", name))
                kept = _laid_over(kept, new, name, broken)
                told[name] = (tuple(new), broken)
        old[name] = kept
    now = from_tables(tables, survey.text, survey.file, survey.shelf)
    return tuple(Again(now.stub(StubId(name)), *what) for name, what in told.items())


def _laid_over(
    kept: dict[str, object], new: dict[str, object], name: str, broken: str
) -> dict[str, object]:
    """A stub's keys with those read anew; a break ends the bare path, one direction the other."""
    gone: set[str] = set()
    if broken:
        _measured_behind(new, path_of("stub", name))
        gone.add("bare")
    if "faces" in new or "through" in new:
        gone |= {"faces", "through"}
    return {**{k: v for k, v in kept.items() if k not in gone}, **new}


def _broken(new: dict[str, object], where: str) -> str:
    value = new.pop("broken", "")
    if not isinstance(value, str):
        hint = 'as in broken = "elbow behind it cracked"'
        raise Malformed(f"{where}.broken", value, "must say what broke, in words", hint)
    return value.strip()


def _measured_behind(new: Mapping[str, object], where: str) -> None:
    for key, hint in (
        ("tip", "measure the middle of the new open end, behind what broke"),
        ("cut_back", "say how far the new end may be cut back"),
    ):
        if key not in new:
            raise Missing(f"{where}.{key}", hint)
