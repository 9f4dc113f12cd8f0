"""``pitwright carry``: one page of a pit to take along on a phone."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.files import write_file
from pitwright.cli.main import OK
from pitwright.cli.record_place import place_options
from pitwright.cli.record_plan import PROGRAM, file_bytes
from pitwright.errors import Missing, UnknownName
from pitwright.planning import plan
from pitwright.survey.harness_file import read_harness
from pitwright.survey.pit import read_survey

if TYPE_CHECKING:
    from pitwright.carry.content import Base, Wiring
    from pitwright.records.fold import State
    from pitwright.records.pits import Place
    from pitwright.records.store import Store
    from pitwright.records.ties import Tie

HELP = "one page of a pit that opens on any phone without a line, and takes notes"
_KNOWN = ("tie", "part", "wire", "splice", "finding", "clue", "reading", "joint", "piece", "test",
          "outcome", "note")  # fmt: skip
"""Kinds of entries that are carried along, in this order; never who owns or lives there."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    origin = parser.add_mutually_exclusive_group(required=True)
    origin.add_argument("survey", metavar="FILE", nargs="?", help="the pit's survey, a *.pit.toml")
    origin.add_argument("--from", metavar="PIT", dest="origin", help="the pit as it is recorded")
    parser.add_argument("--entry", metavar="ID", default="", help="with --from: of this plan")
    parser.add_argument("--harness", metavar="FILE", help="its wiring, a *.harness.toml")
    parser.add_argument(
        "-o", "--out", metavar="FILE", help="the page (unless given: the pit's name and .html)"
    )
    place_options(parser)


def run(args: argparse.Namespace) -> int:
    """Write the page and say how large it is. Raises Missing for another ending than .html."""
    from pitwright.carry.content import Carried
    from pitwright.carry.page import carry_page
    from pitwright.cli.record_ground import now
    from pitwright.records.kinds import slug

    if args.out and not args.out.lower().endswith((".html", ".htm")):
        raise Missing("ending .html", f"{args.out}: a phone opens only what ends in .html")
    if args.origin:
        name, data, base, harness, known, land, ties, notes = _recorded(args)
    else:
        name, data, base = args.survey, file_bytes(args.survey), None
        harness, known, land, ties, notes = None, (), "", (), ()
    if args.harness:
        harness = args.harness, file_bytes(args.harness)
    survey = read_survey(data.decode("utf-8"), name, load_shelf())
    wiring = None if harness is None else _wiring(*harness)
    made = now().strftime("%Y-%m-%d %H:%M")
    carried = Carried(
        plan(survey), base or _nowhere(), made, PROGRAM, wiring, known, land, ties, notes
    )
    page = carry_page(carried).encode("utf-8")
    out = args.out or f"{slug(survey.name)}.html"
    write_file(out, page)
    print(f"{out}: {len(page):,} bytes, for {carried.base.name or survey.name}")
    return OK


def _nowhere() -> Base:
    from pitwright.carry.content import Base

    return Base()


def _recorded(
    args: argparse.Namespace,
) -> tuple[
    str, bytes, Base, tuple[str, bytes] | None, tuple[str, ...], str, tuple[Tie, ...],
    tuple[str, ...],
]:  # fmt: skip
    """Survey (name, bytes), base, harness, what is known, property, ties, notes."""
    from pitwright.carry.content import Base
    from pitwright.cli.record_ground import opened, pit_of
    from pitwright.records.entry import short
    from pitwright.records.notes import heads
    from pitwright.records.pits import named, survey_of
    from pitwright.records.ties import ties_of

    with opened(args) as store:
        place = pit_of(store, args.origin)
        saved = survey_of(store, place, args.entry)
        state = store.state(place.site, place.subject)
        latest = heads(store, place)
        harness = _harness(store, place)
        land = named(store, "property", place.site, place.site)
    base = Base(place.site, place.subject, place.name, saved.entry.id, latest)
    name = f"survey of {short(saved.entry.id)} in the record"
    whose = "" if land is None else land.name
    notes = tuple(str(f.value("text")) for f in state.of_kind("note"))
    return name, saved.survey, base, harness, _known(state), whose, ties_of(state), notes


def _harness(store: Store, place: Place) -> tuple[str, bytes] | None:
    """The newest kept wiring of the pit, None when there is none."""
    from pitwright.records.entry import short
    from pitwright.records.pits import survey_of

    try:
        kept = survey_of(store, place, kind="wiring")
    except UnknownName:
        return None
    return f"harness of {short(kept.entry.id)} in the record", kept.survey


def _known(state: State) -> tuple[str, ...]:
    from pitwright.wording.record import KIND, entry_text

    lines = []
    for kind in _KNOWN:
        for fact in state.of_kind(kind):
            text = entry_text(kind, fact.body or {})
            if text:
                lines.append(f"{fact.happened.start[:10]}  {KIND.get(kind, kind)}: {text}")
    return tuple(lines)


def _wiring(name: str, data: bytes) -> Wiring:
    """The harness with the answer to the readings that its file holds."""
    from pitwright.carry.content import Wiring
    from pitwright.cli.wire import distances_in, readings_in, site_of
    from pitwright.wiring.answer import answer, desk

    file = read_harness(data.decode("utf-8-sig"), name)
    readings = tuple(readings_in(file, ()))
    got = answer(desk(file.harness), readings, site_of(file.harness, readings))
    far = () if got.refusal is not None else tuple(distances_in(file, ()))
    return Wiring(file.harness, got, far)
