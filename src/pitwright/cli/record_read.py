"""``pitwright record``, what reads: show, search, history, ties, trends, next."""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from pitwright.cli.files import write_file
from pitwright.cli.main import OK
from pitwright.cli.plan import PAPERS
from pitwright.cli.record_ground import now, opened, pit_of, place_options
from pitwright.errors import Malformed
from pitwright.records.entry import short
from pitwright.records.fold import Fact, State
from pitwright.records.history import Event, timeline, timeline_json
from pitwright.records.kinds import KINDS
from pitwright.records.pits import Place, find, found, listed, named, people
from pitwright.records.store import Store
from pitwright.records.ties import Crossing, Tie, crossing, ties_of
from pitwright.records.trends import Outlook, Series, drift, outlooks, series_of
from pitwright.units.inches import both_text
from pitwright.wording.record import (
    CAUTIONS,
    FORK,
    KIND,
    STANDING,
    WITHHELD,
    chance_text,
    entry_text,
    moment,
    standing_text,
)

QUIET = {"retract", "redate", "erase"}


def configure(commands: Any) -> None:
    """The sub-commands that read."""
    show = commands.add_parser("show", help="properties and pits, or all that holds of one")
    show.add_argument("what", nargs="?", metavar="NAME", help="property or pit")
    show.set_defaults(step=show_it)
    search = commands.add_parser("search", help="entries that hold these words")
    search.add_argument("words", nargs="+", metavar="WORD")
    search.set_defaults(step=search_it)
    history = commands.add_parser("history", help="everything about one pit, in time")
    history.add_argument("pit", metavar="PIT")
    history.add_argument("--out", metavar="FILE", help="a sheet instead: .pdf or .svg")
    history.add_argument("--paper", choices=PAPERS, default="letter", help="size of the sheet")
    history.set_defaults(step=history_of)
    ties = commands.add_parser("ties", help="where the things of a pit lie, from fixed marks")
    ties.add_argument("pit", metavar="PIT")
    ties.set_defaults(step=ties_in)
    trends = commands.add_parser("trends", help="coil ohms, flow and the like over the years")
    trends.add_argument("pit", metavar="PIT")
    trends.set_defaults(step=trends_of)
    after = commands.add_parser("next", help="which valve is next: an estimate")
    after.add_argument("--most", metavar="N", type=int, default=10, help="lines (default: 10)")
    after.set_defaults(step=next_valve)
    for parser in (show, search, history, ties, trends, after):
        parser.add_argument("--json", action="store_true", help="print JSON for machines")
        place_options(parser)


def _print_json(schema: str, **more: Any) -> int:
    print(json.dumps({"schema": schema, **more}, indent=2, ensure_ascii=False))
    return OK


def line_of(kind: str, id: str, body: Any, note: str = "") -> str:
    """``id  kind: text  (note)``, the way every list here is printed."""
    text = f"{short(id)}  {KIND.get(kind, kind)}: {entry_text(kind, body or {})}".rstrip(": ")
    return f"{text}  ({note})" if note else text


def show_it(args: argparse.Namespace) -> int:
    """All places, or one."""
    with opened(args) as store:
        if not args.what:
            return _show_places(store, args.json)
        pits = found(store, "pit", args.what.rpartition("/")[2])
        kind = "pit" if pits or "/" in args.what else "property"
        place = find(store, kind, args.what)
        state = store.state(place.site, place.subject)
        if args.json:
            return _print_json("pitwright-record-show-1", **_state_json(place, state))
        print(f"{place.kind} {place.name}  [{place.subject}]")
        for line in _state_lines(state):
            print(f"  {line}")
        if place.kind == "property":
            for pit in listed(store, "pit", frozenset({place.site})):
                print(f"  pit {pit.name}  [{pit.subject}]")
    return OK


def _show_places(store: Store, as_json: bool) -> int:
    places = listed(store, "property")
    pits: dict[str, list[Place]] = {p.site: [] for p in places}
    for pit in listed(store, "pit"):
        pits.setdefault(pit.site, []).append(pit)
    if as_json:
        every = [q for p in places for q in (p, *pits[p.site])]
        return _print_json("pitwright-record-show-1", places=[_place_json(p) for p in every])
    for place in places:
        print(f"property {place.name}  [{place.subject}]")
        for pit in pits[place.site]:
            print(f"  pit {pit.name}  [{pit.subject}]")
    if not places:
        print("nothing is recorded yet: pitwright record add property NAME")
    return OK


def _place_json(place: Place) -> dict[str, str]:
    return {"kind": place.kind, "name": place.name, "site": place.site, "subject": place.subject}


def _state_lines(state: State) -> Iterable[str]:
    if state.withheld:
        yield f"! {WITHHELD}"
    if state.forks:
        yield f"! {FORK}"
    if state.missing:
        yield f"! {len(state.missing)} earlier entries have not arrived here yet"
    order = {kind: k for k, kind in enumerate(KINDS)}
    for field in sorted(state.fields, key=lambda f: (_kind_order(f.facts, order), f.name)):
        many = "one of several: settle which holds" if field.contested else ""
        for fact in field.facts:
            if fact.entry.header.kind not in QUIET:
                note = many or ("" if fact.entry.body_data else STANDING["not here"])
                newer = STANDING["newer"] if fact.body is None else note
                yield line_of(fact.entry.header.kind, fact.id, fact.body, newer)


def _kind_order(facts: tuple[Fact, ...], order: dict[str, int]) -> int:
    return order.get(facts[-1].entry.header.kind, len(order)) if facts else len(order)


def _state_json(place: Place, state: State) -> dict[str, Any]:
    return {
        "place": _place_json(place),
        "withheld": list(state.withheld),
        "missing": list(state.missing),
        "forks": [list(f) for f in state.forks],
        "fields": [
            {
                "field": f.name,
                "contested": f.contested,
                "facts": [_fact_json(fact) for fact in f.facts],
            }
            for f in state.fields
        ],
    }


def _fact_json(fact: Fact) -> dict[str, Any]:
    return {
        "id": fact.id,
        "kind": fact.entry.header.kind,
        "happened": fact.happened.as_json(),
        "body": None if fact.body is None else dict(fact.body),
        "files": list(fact.entry.header.files),
    }


def search_it(args: argparse.Namespace) -> int:
    """Entries by their words, last accepted first."""
    with opened(args) as store:
        hits = store.search(" ".join(args.words))
        if args.json:
            shown = [
                {"id": h.entry.id, "kind": h.entry.header.kind, "subject": h.entry.header.subject,
                 "current": h.current, "body": dict(h.entry.body)} for h in hits
            ]  # fmt: skip
            return _print_json("pitwright-record-search-1", hits=shown)
        for hit in hits:
            head = hit.entry.header
            note = head.subject if hit.current else f"{head.subject}, superseded"
            print(line_of(head.kind, hit.entry.id, hit.entry.body, note))
        if not hits:
            print("nothing here holds all these words")
    return OK


def history_of(args: argparse.Namespace) -> int:
    """The time line of a pit."""
    with opened(args) as store:
        place = pit_of(store, args.pit)
        entries = store.of_subject(place.site, place.subject)
        events = timeline(place.site, place.subject, entries, store.kinds)
        if args.json:
            document = timeline_json(place.site, place.subject, events)
            print(json.dumps(document, indent=2, ensure_ascii=False))
            return OK
        names = people(store)
        if args.out:
            return _history_sheet(store, args, place, events, names)
        print(f"{place.name}  [{place.subject}]")
        for event in events:
            print(_event_line(event, names))
    return OK


def _history_sheet(
    store: Store, args: argparse.Namespace, place: Place, events: tuple[Event, ...],
    names: dict[str, str],
) -> int:  # fmt: skip
    """The time line and the ties on paper. The drawing code is imported only when it is wanted."""
    from pitwright.paper.pit_history import History, history_pdf, history_svg

    path = Path(args.out)
    if path.suffix not in (".pdf", ".svg"):
        raise Malformed("--out", path.name, "must end in .pdf or .svg", "choose one of them")
    whose = named(store, "property", place.site, place.site)
    ties = ties_of(store.state(place.site, place.subject))
    sheet = History(whose.name if whose else "", place.name, events, ties, names)
    data = history_svg(sheet) if path.suffix == ".svg" else history_pdf(sheet, args.paper)
    write_file(path, data)
    print(f"{path}: {len(data):,} bytes")
    return OK


def _event_line(event: Event, names: dict[str, str]) -> str:
    when = moment(event.happened.start, event.happened.end)
    standing = standing_text(event.kind, event.standing.value)
    notes = [standing] if standing else []
    notes += [names[event.author]] if event.author in names else []
    notes += [f"{len(event.files)} file{'s' * (len(event.files) > 1)}"] if event.files else []
    notes = [*(short(id) for id in event.speaks_of), *notes]
    kind = "redo" if event.again else event.kind
    return f"{when:<22}  {line_of(kind, event.id, event.body, '; '.join(notes))}"


def ties_in(args: argparse.Namespace) -> int:
    """Each tie, and where its tapes cross."""
    with opened(args) as store:
        place = pit_of(store, args.pit)
        ties = ties_of(store.state(place.site, place.subject))
    if args.json:
        return _print_json("pitwright-record-ties-1", ties=[_tie_json(t) for t in ties])
    for tie in ties:
        print(tie_text(tie))
    if not ties:
        print(f"{place.name} has no ties yet: pitwright record add tie --pit ...")
    else:
        print("\n".join(f"! {line}" for line in CAUTIONS))
    return OK


def tie_text(tie: Tie) -> str:
    """One tie in words: the two tapes, and where they cross. [in, mm]"""
    lines = [f"{tie.thing}: {tie.typed[0]} from {tie.mark_a}, {tie.typed[1]} from {tie.mark_b}"]
    if tie.between is None:
        lines.append("  the marks are not taped to each other: swing both tapes to find it")
        return "\n".join(lines)
    met = crossing(tie.a, tie.b, tie.between, tie.left)
    lines.append(f"  the marks are {tie.typed[2]} apart")
    if isinstance(met, Crossing):
        side = "left" if met.y >= 0 else "right"
        lines.append(
            f"  from {tie.mark_a} {both_text(met.x)} toward {tie.mark_b}, then "
            f"{both_text(abs(met.y))} to the {side}, within {_within(met.sigma)} (one sigma)"
        )
        if met.poor:
            lines.append("  ! the tapes cross too flat to be sure: take a third mark")
    else:
        lines.append(f"  ! these tapes cannot meet: they miss by {both_text(met.by)}. Tape again")
    return "\n".join(lines)


def _within(sigma: float) -> str:
    return both_text(sigma) if math.isfinite(sigma) else "no known distance"


def _tie_json(tie: Tie) -> dict[str, Any]:
    met = None if tie.between is None else crossing(tie.a, tie.b, tie.between, tie.left)
    crossed = isinstance(met, Crossing)
    return {
        "id": tie.id,
        "thing": tie.thing,
        "mark_a": tie.mark_a,
        "mark_b": tie.mark_b,
        "a_m": tie.a,
        "b_m": tie.b,
        "between_m": tie.between,
        "x_m": met.x if isinstance(met, Crossing) else None,
        "y_m": met.y if isinstance(met, Crossing) else None,
        "meets": crossed if met is not None else None,
    }


def trends_of(args: argparse.Namespace) -> int:
    """Every series of a pit and its drift."""
    with opened(args) as store:
        place = pit_of(store, args.pit)
        entries = store.of_subject(place.site, place.subject)
        withheld = bool(store.state(place.site, place.subject).withheld)
        series = series_of(place.site, place.subject, entries, store.kinds)
    if args.json:
        return _print_json(
            "pitwright-record-trends-1",
            withheld=withheld,
            series=[_series_json(s, withheld) for s in series],
        )
    if withheld:
        print(f"! {WITHHELD}")
    for one in series:
        print(series_text(one, withheld))
    if not series:
        print(f"{place.name} has no readings with a value yet")
    return OK


def series_text(series: Series, withheld: bool) -> str:
    """One series: its values with their dates, and what a straight line through them says."""
    zone = f", zone {series.zone}" if series.zone else ""
    values = ", ".join(f"{p.value:g} ({p.when:%Y-%m-%d})" for p in series.points)
    lines = [f"{series.quantity}{zone} [{series.unit or '-'}]: {values}"]
    line = None if withheld else drift(series.points)
    if line is not None:
        sigma = "" if line.sigma is None else f" +- {line.sigma:.2g} (one sigma)"
        lines.append(
            f"  changes by {line.per_year:+.2g}{sigma} a year, {len(series.points)} readings"
        )
        if line.left_band:
            lines.append("  ! more than a quarter away from its first value")
        elif line.years_left is not None:
            lines.append(
                f"  at this rate a quarter away {line.years_left:.1f} years after the last"
            )
        if line.sigma is None:
            lines.append("  two readings make a line, not a trend")
    return "\n".join(lines)


def _series_json(series: Series, withheld: bool) -> dict[str, Any]:
    line = None if withheld else drift(series.points)
    return {
        "quantity": series.quantity,
        "zone": series.zone,
        "unit": series.unit,
        "points": [
            {"when": p.when.isoformat(), "value": p.value, "id": p.id} for p in series.points
        ],
        "per_year": line.per_year if line else None,
        "sigma_per_year": line.sigma if line else None,
        "years_left": line.years_left if line else None,
        "left_band": line.left_band if line else None,
    }


def next_valve(args: argparse.Namespace) -> int:
    """The valves likeliest to give trouble, and from what little that is known."""
    with opened(args) as store:
        pits = [(s, b, store.of_subject(s, b)) for s, b in store.subjects("pit")]
        found_ = outlooks(pits, now(), store.kinds)[: max(args.most, 0)]
        named = {(o.site, o.subject): _label(store, o) for o in found_}
    if args.json:
        return _print_json(
            "pitwright-record-next-1",
            valves=[_outlook_json(o, named[o.site, o.subject]) for o in found_],
        )
    for o in found_:
        zone = f", zone {o.zone}" if o.zone else ""
        print(f"{named[o.site, o.subject]}{zone}: {_outlook_text(o)}")
        for series in o.drifting:
            print(f"  drifting: {series.quantity}")
    print("! An estimate from what was entered, no more: before anything is known it takes one")
    print("! trouble in ten years (judgement, no source). Look at the valve before you renew it.")
    return OK


def _label(store: Store, o: Outlook) -> str:
    place = find(store, "pit", o.subject, frozenset({o.site}))
    return f"{place.name} [{place.subject}]"


def _outlook_text(o: Outlook) -> str:
    if o.withheld:
        return WITHHELD
    return chance_text(o.chance.likely, o.chance.low, o.chance.high, o.troubles, o.years)


def _outlook_json(o: Outlook, name: str) -> dict[str, Any]:
    c = None if o.withheld else o.chance
    return {
        "pit": name,
        "subject": o.subject,
        "zone": o.zone,
        "withheld": o.withheld,
        "troubles": o.troubles,
        "years": o.years,
        "chance": c.likely if c else None,
        "low": c.low if c else None,
        "high": c.high if c else None,
        "drifting": [s.quantity for s in o.drifting],
    }
