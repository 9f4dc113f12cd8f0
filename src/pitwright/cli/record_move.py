"""``pitwright record``, what goes in and out: export, import, exchange, backup, restore, check."""

from __future__ import annotations

import argparse
import json
import platform
from pathlib import Path
from typing import Any

from pitwright.cli.files import write_file
from pitwright.cli.main import OK, REFUSED
from pitwright.cli.record_ground import hand_of, now, opened, pit_of, place_options
from pitwright.cli.record_write import said
from pitwright.errors import Missing, Unreadable
from pitwright.records import views
from pitwright.records.accepting import Receipt, aside, forks, reexamine
from pitwright.records.archive import checked_whole, pack, restore, take_in
from pitwright.records.entry import short
from pitwright.records.exchange import answer, exchange, wanted_files
from pitwright.records.export import csv_text, geojson
from pitwright.records.notes import LARGEST, SCHEMA, pit_of_notes, read_notes, take_notes
from pitwright.records.pits import find, survey_of
from pitwright.records.store import SHOP, Right, Store, open_store
from pitwright.wording.carry import noted_lines


def configure(commands: Any) -> None:
    """The sub-commands that carry things in and out."""
    out = commands.add_parser("export", help="CSV, GeoJSON, a survey, or an archive of some sites")
    out.add_argument(
        "file", metavar="FILE", help="ends in .csv, .geojson, .pit.toml, .harness.toml or .zip"
    )
    out.add_argument("--property", metavar="NAME", action="append", default=[], help="only this")
    out.add_argument("--pit", metavar="NAME", help="whose survey or harness, for .toml")
    out.add_argument(
        "--plan", metavar="ID", default="", help="of which plan or wiring (default: newest)"
    )
    out.add_argument("--places", action="store_true", help="yes, give places away (.geojson)")
    out.set_defaults(step=export_it)
    come = commands.add_parser("import", help="take in an archive, or the notes of a carry file")
    come.add_argument("file", metavar="FILE")
    come.add_argument("--pit", metavar="NAME", help="whose notes, where the file does not know")
    come.set_defaults(step=import_it)
    meet = commands.add_parser("exchange", help="with another record: each gets what it lacks")
    meet.add_argument("other", metavar="PLACE", help="folder or postgresql:// address")
    meet.add_argument("--other-files", metavar="DIR", help="its files, with postgresql://")
    meet.set_defaults(step=exchange_it)
    back = commands.add_parser("backup", help="one archive that restores everything")
    back.add_argument("file", metavar="FILE")
    back.set_defaults(step=backup_it)
    again = commands.add_parser("restore", help="a new record from a backup, every hash verified")
    again.add_argument("file", metavar="FILE")
    again.add_argument("folder", metavar="FOLDER", help="new or empty")
    again.set_defaults(step=restore_it)
    check = commands.add_parser("check", help="verify every hash; forks, and what was set aside")
    check.add_argument("--rebuild", action="store_true", help="build the views again first")
    check.add_argument("--sweep", action="store_true", help="remove old files that nothing names")
    check.set_defaults(step=check_it)
    for parser in (out, come, meet, back, check):
        place_options(parser)


def _sites(store: Store, names: list[str]) -> frozenset[str] | None:
    if not names:
        return None
    return frozenset(find(store, "property", name).site for name in names)


def export_it(args: argparse.Namespace) -> int:
    """Write one file, by its ending. Raises Missing when something it needs was not said."""
    path = Path(args.file)
    name = path.name.lower()
    with opened(args) as store:
        sites = _sites(store, args.property)
        if name.endswith(".zip"):
            manifest = pack(store, path, now(), None if sites is None else sites | {SHOP})
            print(f"{path}: {manifest.entries} entries, {manifest.files} files")
            return OK
        if name.endswith(".csv"):
            data = csv_text(store, sites).encode("utf-8-sig")
        elif name.endswith((".geojson", ".json")):
            if not args.places:
                raise Missing("--places", "a map gives places away: say that it may")
            text = json.dumps(geojson(store, sites), indent=1, ensure_ascii=False)
            data = f"{text}\n".encode()
        elif name.endswith(".toml"):
            if not args.pit:
                raise Missing("--pit", "say whose survey is wanted")
            kind = "wiring" if name.endswith(".harness.toml") else "plan"
            data = survey_of(store, pit_of(store, args.pit), args.plan, kind).survey
        else:
            raise Missing(
                "a known ending", f"{path.name}: .csv, .geojson, .pit.toml, .harness.toml or .zip"
            )
    write_file(path, data)
    print(f"{path} is written")
    return OK


def received(receipt: Receipt) -> list[str]:
    """What became of what came in, in words."""
    lines = [f"{len(receipt.accepted)} entries taken in, {receipt.known} known already"]
    if receipt.released:
        lines.append(f"{len(receipt.released)} set aside earlier taken in now")
    lines += [f"! set aside: {a.id[:11]}: {a.reason}: {a.detail}" for a in receipt.aside]
    for f in receipt.forks:
        lines.append(f"! fork: device {f.device} wrote entry {f.n} twice: both are kept")
    if receipt.erased:
        lines.append(f"{len(receipt.erased)} things erased on request")
    return lines


def import_it(args: argparse.Namespace) -> int:
    """Take an archive in, or the notes of a carry file."""
    if _holds_notes(Path(args.file)):
        return import_notes(args)
    with opened(args, make=True) as store:
        taken = take_in(store, Path(args.file), hand_of(store).right, now())
        lines = [*received(taken.receipt), f"{taken.files} files"]
        if taken.wanting:
            lines.append(f"{taken.wanting} files are named and not here yet")
    print("\n".join(lines))
    return OK


def _holds_notes(path: Path) -> bool:
    """Whether a file is notes rather than an archive: by its ending, else by how it begins."""
    if path.suffix.lower() in (".json", ".txt"):
        return True
    try:
        with path.open("rb") as opened_file:
            return SCHEMA.encode() in opened_file.read(LARGEST)
    except OSError:
        return False  # the archive's reader says what is wrong


def import_notes(args: argparse.Namespace) -> int:
    """Take a phone's notes in. Raises Unreadable when the file cannot be read."""
    try:
        with Path(args.file).open("rb") as notes_file:
            data = notes_file.read(LARGEST + 1)
    except OSError as why:
        raise Unreadable(args.file, None, "cannot be read", str(why.strerror or why)) from None
    notes = read_notes(data, args.file)
    with opened(args) as store:
        chosen = pit_of(store, args.pit) if args.pit else None
        place = pit_of_notes(store, notes, chosen)
        done = take_notes(store, notes.notes, place, hand_of(store))
    lines = noted_lines(len(done.taken), done.known, done.back, done.stale, done.redated)
    lines += [said(entry, place) for entry in done.taken]
    lines += [f"! {short(e.id)} stands beside another: settle which holds" for e in done.beside]
    print("\n".join(lines))
    return OK


def exchange_it(args: argparse.Namespace) -> int:
    """Bring two records together."""
    other_files = Path(args.other_files) if args.other_files else None
    with opened(args, make=True) as store:
        other = open_store(args.other, platform.node(), files=other_files)
        try:
            right, at = Right(hand_of(store).right.author), now()
            done = exchange(store, lambda q: answer(other, q, right, at), right, at)
        finally:
            other.close()
    print("\n".join(received(done.received)))
    print(f"{done.sent} entries sent, {done.files_in} files came, {done.files_out} went")
    for line in (*done.their_aside, *done.refused):
        print(f"! there: {line}")
    if done.files_wanting:
        print(f"{done.files_wanting} files are named and not here yet")
    return OK


def backup_it(args: argparse.Namespace) -> int:
    """Everything into one archive."""
    with opened(args) as store:
        manifest = pack(store, Path(args.file), now())
        wanting = len(wanted_files(store))
    print(
        f"{args.file}: {manifest.entries} entries, {manifest.files} files, {manifest.aside} aside"
    )
    if wanting:
        print(f"{wanting} files are named and not here yet")
    print("It holds names and places: encrypt it before it leaves this machine.")
    return OK


def restore_it(args: argparse.Namespace) -> int:
    """A new record from an archive."""
    folder = Path(args.folder)
    taken = restore(Path(args.file), folder, platform.node(), Right("u-restored"), now(), print)
    print(f"{folder}: {len(taken.receipt.accepted)} entries, {taken.files} files, a new device id")
    for line in received(taken.receipt)[1:]:
        print(line)
    return OK


def check_it(args: argparse.Namespace) -> int:
    """Verify the whole record; 3 when something is wrong with it."""
    with opened(args) as store:
        right = hand_of(store).right
        if args.rebuild:
            print(f"views built again from {views.build(store.db)} entries")
        released = reexamine(store, right, now()).released
        wrong = checked_whole(store)
        if args.sweep:
            rows = store.db.rows("SELECT DISTINCT target FROM v_links WHERE what = 'f'")
            gone = store.files.sweep(frozenset(row[0] for row in rows), now())
            print(f"{len(gone)} unnamed files removed")
        lines = [f"{store.count()} entries, {len(store.files.all())} files"]
        lines += [f"{len(released)} set aside earlier taken in now"] if released else []
        lines += [f"! {line}" for line in wrong]
        lines += [f"! fork: device {f.device}, entry {f.n}, site {f.site}" for f in forks(store)]
        lines += [f"! set aside: {a.id[:11]}: {a.reason}: {a.detail}" for a, _ in aside(store)]
    print("\n".join(lines))
    print("something is wrong: see above" if wrong else "every hash is right")
    return REFUSED if wrong else OK
