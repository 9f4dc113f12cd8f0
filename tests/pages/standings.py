"""A pit as a page gets it, from a survey's text, without any record on a disk."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from functools import cache

from pitwright.catalogue.shelf import Shelf, load_shelf
from pitwright.pages.asked import Asked, Want
from pitwright.pages.going import Pair, goings_of
from pitwright.pages.readings import from_survey, want
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit, Planned, Zoned
from pitwright.planning import Plan
from pitwright.records.canonical import encode
from pitwright.records.entry import Entry, EntryId, Header, body_hash, make
from pitwright.records.fold import folded
from pitwright.records.history import timeline
from pitwright.records.kinds import KINDS, Slot, checked, slug
from pitwright.records.pits import Place, plans_of
from pitwright.records.when import Span, Written, stamp
from pitwright.resuming import Stage, ZoneResumed, zone_resumed
from pitwright.survey.progress import ZoneProgress
from tests.house.reading import ROOT

NOW = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)
PLACE = Place("s-site", "b-pit", "pit", "gate")


@cache
def shelf() -> Shelf:
    return load_shelf()


def example(name: str) -> str:
    return (ROOT / "examples" / f"{name}.pit.toml").read_text("utf-8")


def asked(now: datetime = NOW, **form: str) -> Asked:
    trouble: dict[str, str] = {}
    return Asked("/pit/b-pit", now, "token", {}, form, (), trouble)


def entries(wants: Iterable[Want], start: datetime = NOW) -> list[Entry]:
    """Each want as an entry of one device, a second apart, superseding what its slot held."""
    made: list[Entry] = []
    latest: dict[str, EntryId] = {}
    for n, one in enumerate(wants, start=1):
        at = start + timedelta(seconds=n)
        body = checked(one.kind, one.body)
        kind = KINDS[one.kind]
        each = f"{one.kind}/d-{n}"
        named = f"{one.kind}/{slug(str(body[kind.named_by]))}" if kind.named_by else each
        field = one.field or (one.kind if kind.slot is Slot.ONE else named)
        salt, data = bytes(16), encode(body)
        before = (latest[field],) if field in latest else ()
        header = Header(
            one.kind, 1, PLACE.site, PLACE.subject, field, "d-test", n,
            made[-1].id if made else None, n, Span.at(at), Written(stamp(at), 0), "u-test",
            before, (), (), body_hash(salt, data),
        )  # fmt: skip
        made.append(make(header, salt, data))
        latest[field] = made[-1].id
    return made


def pit_of(text: str, more: Sequence[Want] = (), plan: Plan | None = None) -> Pit:
    """The pit of a survey, with more entered after it, and its plan where there is one."""
    wants = [Want("pit", {"label": "gate"})]
    wants += (
        [want(p, said) for p, said in from_survey(text) if p != ("pit", "name")] if text else []
    )
    made = entries([*wants, *more])
    state = folded(PLACE.site, PLACE.subject, made)
    line = timeline(PLACE.site, PLACE.subject, made)
    pit = Pit(
        PLACE, replace(PLACE, kind="property", name="Garden"), state, line, {}, len(made), shelf()
    )
    if plan is None:
        return pit
    zones = tuple(Zoned(str(z.zone.id), z.zone.name, "ready", z) for z in plan.zones)
    pit = replace(pit, planned=Planned(zones, plan))
    saved, chosen = plans_of(pit.state), plan_as_chosen(pit)
    assert chosen is not None
    since = saved[-1] if saved else None
    return replace(pit, goings=goings_of(pit.state, since, chosen, solved, ahead=True))


def solved(stage: Stage, done: ZoneProgress, again: Pair, asked: str) -> ZoneResumed:
    """At once, where the app asks a worker."""
    return zone_resumed(stage, done, again)
