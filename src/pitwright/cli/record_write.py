"""``pitwright record``, what writes: add, undo, settle, redate, erase, me."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from pitwright.cli.main import OK
from pitwright.cli.record_ground import chance, hand_of, now, opened, place_options
from pitwright.errors import Contradiction, Malformed, Missing, OutOfRange, UnknownName
from pitwright.records.accepting import erase as erase_entries
from pitwright.records.entry import Entry, opaque, short
from pitwright.records.files import Kept
from pitwright.records.fold import RETRACT
from pitwright.records.kinds import KINDS, Slot
from pitwright.records.pits import Place, find
from pitwright.records.store import SHOP, Draft, Hand, Store
from pitwright.records.when import Span, spoken
from pitwright.wording.record import KIND, entry_text

ADDED = sorted(KINDS.keys() - {"retract", "redate", "erase", "person"})
_LONGEST_OFFSET = 10**8


def configure(commands: Any) -> None:
    """The sub-commands that write."""
    add = commands.add_parser("add", help="enter something: a property, a pit, a tie, a finding")
    add.add_argument("kind", metavar="KIND", help=", ".join(ADDED))
    add.add_argument("values", nargs="*", metavar="NAME=VALUE", help="one bare value: the first")
    add.add_argument("--property", metavar="NAME", help="the property, by name or id")
    add.add_argument("--pit", metavar="NAME", help="the pit: name, property/name, or id")
    add.add_argument("--when", metavar="TEXT", default="now", help="2019, yesterday, about noon")
    add.add_argument("--file", metavar="FILE", action="append", default=[], help="photo or file")
    add.add_argument("--photo-place", action="store_true", help="take the place from the photo")
    add.add_argument("--photo-time", action="store_true", help="take the time from the photo")
    add.add_argument("--clock", metavar="SECONDS", help="how far this clock was off when checked")
    add.set_defaults(step=add_entry)
    undo = commands.add_parser("undo", help="take an entry back; undo the undo to redo")
    undo.add_argument("entry", metavar="ID")
    undo.add_argument("--reason", metavar="TEXT", default="")
    undo.set_defaults(step=undo_entry)
    settle = commands.add_parser("settle", help="of several that hold, say which")
    settle.add_argument("entry", metavar="ID")
    settle.set_defaults(step=settle_field)
    redate = commands.add_parser("redate", help="date an entry again")
    redate.add_argument("entry", metavar="ID")
    redate.add_argument("--when", metavar="TEXT", required=True)
    redate.add_argument("--reason", metavar="TEXT", default="")
    redate.set_defaults(step=redate_entry)
    wipe = commands.add_parser("erase", help="erase on request, for good, everywhere")
    wipe.add_argument("entries", metavar="ID", nargs="+")
    wipe.add_argument("--reason", metavar="TEXT", required=True)
    wipe.add_argument("--keep-files", action="store_true", help="erase no photos and files")
    wipe.set_defaults(step=erase_them)
    me = commands.add_parser("me", help="say who writes in this record")
    me.add_argument("name", metavar="NAME")
    me.add_argument("--phone", metavar="NUMBER", default="")
    me.set_defaults(step=say_me)
    for parser in (add, undo, settle, redate, wipe, me):
        place_options(parser)


def values_of(kind: str, words: Sequence[str]) -> dict[str, str]:
    """``name=value`` words as a body. One word without a name is the first thing a kind needs.

    Raises UnknownName, Malformed or Missing.
    """
    if kind not in ADDED:
        raise UnknownName("kind", kind, ADDED, "kind of entry")
    first = next((n for n, f in KINDS[kind].fields.items() if f.needed), "")
    body: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals or name not in KINDS[kind].fields:
            if equals and name.isidentifier() and len(name) < 20:
                raise UnknownName(f"{kind}.{name}", name, KINDS[kind].fields, f"field of a {kind}")
            name, value = first, word
        if name in body or not name:
            raise Malformed(name or kind, word, "came twice", "write NAME=VALUE for each value")
        body[name] = value
    return body


def add_entry(args: argparse.Namespace) -> int:
    """Enter one thing and say what it was."""
    body: dict[str, Any] = dict(values_of(args.kind, args.values))
    happened = spoken(args.when, now())
    _check_clock(args.clock)
    with opened(args, make=args.kind == "property") as store:
        hand = hand_of(store, args.clock)
        place = _place(store, args, body)
        body = {**_present(store, args.kind, place), **body}
        kept = [store.keep(Path(name)) for name in args.file]
        for name, one in zip(args.file, kept, strict=True):
            print(_offer(name, one))
        happened = _from_photo(args, kept, body, happened)
        draft = Draft(
            args.kind, place.site, place.subject, body, happened, files=[k.hash for k in kept]
        )
        entry = store.write(draft, hand)
        print(said(entry, place))
    return OK


def _present(store: Store, kind: str, place: Place) -> dict[str, Any]:
    """What a thing that there is one of says now: a change leaves the rest as it is."""
    if KINDS[kind].slot is not Slot.ONE:
        return {}
    field = store.state(place.site, place.subject).field(kind)
    fact = field.fact if field is not None else None
    return {} if fact is None else dict(fact.body or {})


def _check_clock(clock: str | None) -> None:
    if clock is None:
        return
    try:
        off = int(clock)
    except ValueError:
        raise Malformed("--clock", clock, "must be whole seconds", "write --clock -3") from None
    if abs(off) > _LONGEST_OFFSET:
        raise OutOfRange("--clock", clock, -_LONGEST_OFFSET, _LONGEST_OFFSET, "check the clock")


def _place(store: Store, args: argparse.Namespace, body: Mapping[str, Any]) -> Place:
    """What the entry is about: a new property or pit, or one that is there."""
    if args.kind == "property" and not args.property:
        site = opaque("s", chance(10))
        return Place(site, site, "property", str(body.get("name", "")))
    if args.kind == "pit" and not args.pit:
        if not args.property:
            raise Missing("--property", "say on which property the pit lies")
        site = find(store, "property", args.property).site
        return Place(site, opaque("b", chance(10)), "pit", str(body.get("label", "")))
    if args.pit:
        return find(store, "pit", args.pit)
    if args.property:
        return find(store, "property", args.property)
    raise Missing("--pit", "say which pit it is about, or which --property")


def _offer(name: str, kept: Kept) -> str:
    """What a photo said before it was taken off."""
    told = [f"kept {Path(name).name}: {kept.media}, {kept.size:,} bytes"]
    if kept.place:
        told.append(f"the photo says {kept.place.latitude}, {kept.place.longitude}")
    if kept.taken:
        told.append(f"taken {kept.taken} by the camera's clock")
    if kept.place or kept.taken:
        told.append("taken off the photo; --photo-place and --photo-time put them in the entry")
    return "; ".join([*told, *([kept.warning] if kept.warning else [])])


def _from_photo(
    args: argparse.Namespace, kept: Sequence[Kept], body: dict[str, Any], happened: Span
) -> Span:
    """Place and time from the first photo that has them, where they were asked for."""
    if args.photo_place:
        place = next((k.place for k in kept if k.place), None)
        if place is None or "latitude" not in KINDS[args.kind].fields:
            raise Contradiction("--photo-place", args.file, "has no place to give here", "leave it")
        body.update(latitude=place.latitude, longitude=place.longitude)
    if args.photo_time:
        taken = next((k.taken for k in kept if k.taken), None)
        try:
            moment = datetime.strptime(taken or "", "%Y:%m:%d %H:%M:%S")
        except ValueError:
            raise Contradiction("--photo-time", taken, "is no time", "give --when") from None
        return Span.at(moment.replace(tzinfo=now().tzinfo))
    return happened


def said(entry: Entry, place: Place) -> str:
    """One line: the entry's first letters, what it says, and what it stands in place of."""
    head = entry.header
    line = (
        f"{short(entry.id)}  {KIND.get(head.kind, head.kind)}: {entry_text(head.kind, entry.body)}"
    )
    if head.supersedes:
        line += f"  (in place of {', '.join(short(i) for i in head.supersedes)})"
    return f"{line}  [{place.subject}]" if head.kind in ("property", "pit") else line


def undo_entry(args: argparse.Namespace) -> int:
    """Take an entry back."""
    with opened(args) as store:
        target = store.entry(args.entry)
        entry = store.take_back(target.id, hand_of(store), args.reason)
        text = entry_text(target.header.kind, target.body)
        how = KIND["redo" if target.header.kind == RETRACT else RETRACT]
        print(f"{short(entry.id)}  {how}: {short(target.id)} {text}".rstrip())
    return OK


def settle_field(args: argparse.Namespace) -> int:
    """Let one of several entries hold: it is written again in place of them all.

    Raises Contradiction when it is not one of several.
    """
    with opened(args) as store:
        chosen = store.entry(args.entry)
        head = chosen.header
        field = store.state(head.site, head.subject).field(head.field)
        if field is None or chosen.id not in {f.id for f in field.facts} or not field.contested:
            raise Contradiction("entry", args.entry, "is not one of several", "nothing to settle")
        draft = Draft(
            head.kind, head.site, head.subject, chosen.body, head.happened, field=head.field,
            supersedes=[h.id for h in field.latest], files=head.files,
        )  # fmt: skip
        entry = store.write(draft, hand_of(store))
        print(said(entry, Place(head.site, head.subject, head.kind, "")))
    return OK


def redate_entry(args: argparse.Namespace) -> int:
    """Give an entry another time. It may be one that was set aside for its clock."""
    happened = spoken(args.when, now())
    with opened(args) as store:
        hand = hand_of(store)
        site, subject, id = _dated(store, args.entry)
        draft = Draft(
            "redate", site, subject, {"reason": args.reason}, happened, about=[id], supersedes=()
        )
        entry = store.write(draft, hand)
        released = _look_again(store, hand)
        print(f"{short(entry.id)}  dated again: {short(id)}{released}")
    return OK


def _dated(store: Store, text: str) -> tuple[str, str, str]:
    start = text if text.startswith("e1_") else f"e1_{text}"
    aside = store.db.rows(
        "SELECT site, subject, id FROM quarantine WHERE id >= ? AND id < ? AND subject <> ''",
        (start, f"{start}~"),
    )
    if len(aside) == 1 and len(start) > 8:
        return aside[0][0], aside[0][1], aside[0][2]
    entry = store.entry(text)
    return entry.header.site, entry.header.subject, entry.id


def _look_again(store: Store, hand: Hand) -> str:
    from pitwright.records.accepting import reexamine

    count = len(reexamine(store, hand.right, hand.now).released)
    return f"; {count} set aside earlier taken in now" if count else ""


def erase_them(args: argparse.Namespace) -> int:
    """Erase bodies, and the files that nothing else names."""
    with opened(args) as store:
        hand = hand_of(store)
        entries = [store.entry(i) for i in args.entries]
        ids = [e.id for e in entries]
        hashes = sorted({h for e in entries for h in e.header.files} - _named(store, ids))
        files = [] if args.keep_files else hashes
        entry = erase_entries(store, ids, hand, reason=args.reason, files=files)
        print(f"{short(entry.id)}  erased: {', '.join(short(i) for i in ids)}, {len(files)} files")
        print("Every record this one exchanges with erases them too. Papers that were printed,")
        print("exported lists and old backups are yours to destroy: docs/record.md says which.")
    return OK


def _named(store: Store, ids: Sequence[str]) -> set[str]:
    """Files that other entries name."""
    rows = store.db.rows(
        "SELECT l.target, v.id FROM v_links l JOIN v_entries v ON v.seq = l.seq WHERE l.what = 'f'"
    )
    return {target for target, id in rows if id not in ids}


def say_me(args: argparse.Namespace) -> int:
    """Name the author of this record. The name can be erased later; the entries stay."""
    with opened(args, make=True) as store:
        hand = hand_of(store)
        body = {"name": args.name, "phone": args.phone}
        draft = Draft("person", SHOP, hand.right.author, body)
        entry = store.write(replace(draft, happened=None), hand)
        print(f"{short(entry.id)}  you write as {args.name}")
    return OK
