"""The header that is to be rebuilt from the feed: which stub feeds it, which zones hang on it."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from pitwright.catalogue.naming import plain_size
from pitwright.errors import Contradiction, Malformed, Missing, UnknownName
from pitwright.findings import StubId, ZoneId
from pitwright.survey.section import Section
from pitwright.survey.stubs import Side, Stub
from pitwright.survey.valves import ValveBody
from pitwright.survey.zones import Zone

__all__ = ["Header", "read_header"]

_HOW = 'write it as ["hedge", "beds"]'


@dataclass(frozen=True, slots=True)
class Header:
    """What is rebuilt: from the stub ``feed`` on, new branches to ``zones``, in pipe of ``size``.

    ``shut_off`` names the valve that becomes its shut-off, None for none; ``goes`` are obstacles
    that come out with the old header.
    """

    feed: StubId
    zones: tuple[ZoneId, ...]
    size: str
    shut_off: str | None
    goes: tuple[str, ...]


def read_header(
    section: Section,
    stubs: Sequence[Stub],
    zones: Sequence[Zone],
    valves: Sequence[ValveBody],
    obstacles: Collection[str],
) -> Header:
    """The section [header]. Raises Missing, Malformed, UnknownName, Contradiction. Source: none."""
    feed = _feed(section, stubs, zones)
    names = _names(section, "zones", [z.id for z in zones], "zone")
    if not names:
        raise Missing(section.at("zones"), f"name the zones that hang on it: {_HOW}")
    shut = section.text("shut_off")
    if shut and shut not in [v.name for v in valves]:
        raise UnknownName(section.at("shut_off"), shut, [v.name for v in valves], "valve")
    size = plain_size(section.text("size")) or (feed.pipe.size if feed.pipe else "")
    if not size:
        raise Missing(section.at("size"), 'write the size of the new header, as in "1-1/4"')
    goes = _names(section, "goes", list(obstacles), "obstacle")
    return Header(feed.id, tuple(ZoneId(n) for n in names), size, shut or None, goes)


def _feed(section: Section, stubs: Sequence[Stub], zones: Sequence[Zone]) -> Stub:
    name = section.text("feed")
    if not name:
        raise Missing(section.at("feed"), "name the stub that brings the water")
    known = {s.id: s for s in stubs}
    if name not in known:
        raise UnknownName(section.at("feed"), name, list(known), "stub")
    feed = known[StubId(name)]
    if feed.side is not Side.INLET:
        rule, hint = "must be an inlet stub", f'stub "{name}" says side = "{feed.side.value}"'
        raise Contradiction(section.at("feed"), name, rule, hint)
    taken = next((z for z in zones if feed.id == z.inlet), None)
    if taken is not None:
        rule = f'must not be the inlet of zone "{taken.id}"'
        hint = "the feed brings water to the header; a zone's inlet hangs on the old one"
        raise Contradiction(section.at("feed"), name, rule, hint)
    return feed


def _names(section: Section, key: str, known: Sequence[str], what: str) -> tuple[str, ...]:
    value = section.table.get(key, [])
    if not isinstance(value, list) or any(not isinstance(v, str) for v in value):
        raise Malformed(section.at(key), value, "must be a list of names", _HOW)
    for number, name in enumerate(value):
        if name not in known:
            raise UnknownName(f"{section.at(key)}.{number}", name, known, what)
        if name in value[:number]:
            raise Malformed(section.at(key), value, "must name each one once", _HOW)
    return tuple(value)
