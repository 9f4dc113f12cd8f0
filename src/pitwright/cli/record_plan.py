"""What joins ``plan`` and ``wire`` to the record: results saved there, surveys taken from there.

The record itself is imported only when it is asked for.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from pitwright import __version__
from pitwright.cli.record_place import place_options
from pitwright.survey.source import text_of

if TYPE_CHECKING:
    from pitwright.records.pits import Place

__all__ = ["configure", "file_bytes", "place", "save", "survey_text"]

PROGRAM = f"pitwright {__version__}"
SURVEYS = {"plan": "survey", "wiring": "harness"}
"""What each kind of entry was made from."""


def configure(parser: argparse.ArgumentParser, kind: str = "plan") -> None:
    """Options that save a result in the record, and say which record."""
    what = SURVEYS[kind]
    result = "plan" if kind == "plan" else "answer"
    parser.add_argument(
        "--save", metavar="PIT", help=f"keep {what} and {result} in the record, at PIT"
    )
    parser.add_argument(
        "--entry", metavar="ID", default="", help=f"with --from: of this {kind}, not the newest"
    )
    place_options(parser)


def survey_text(
    args: argparse.Namespace, file: str | None, kind: str = "plan"
) -> tuple[str, bytes]:
    """The survey's name for messages, and its bytes as they stand in the file or the record.

    Raises what reading either may raise.
    """
    if file:
        return file, file_bytes(file)
    from pitwright.cli.record_ground import opened, pit_of
    from pitwright.records.entry import short
    from pitwright.records.pits import survey_of

    with opened(args) as store:
        saved = survey_of(store, pit_of(store, args.origin), args.entry, kind)
    return f"{SURVEYS[kind]} of {short(saved.entry.id)} in the record", saved.survey


def file_bytes(file: str) -> bytes:
    """A survey file's bytes. Raises Unreadable for what no survey can be read from."""
    text_of(file)
    return Path(file).read_bytes()


def place(args: argparse.Namespace) -> Place:
    """The pit to save at: asked before long work, so that a wrong name costs nothing.

    Raises what opening the record or finding the pit may raise.
    """
    from pitwright.cli.record_ground import opened, pit_of

    with opened(args) as store:
        return pit_of(store, args.save)


def save(
    args: argparse.Namespace, survey: bytes, document: str, *, title: str, summary: str,
    kind: str = "plan",
) -> str:  # fmt: skip
    """Keep the exact survey and result, and the program's version; the line that says so."""
    from pitwright.cli.record_ground import hand_of, opened, pit_of
    from pitwright.records.entry import short
    from pitwright.records.pits import save_plan

    with opened(args) as store:
        where = pit_of(store, args.save)
        entry = save_plan(
            store, hand_of(store), where, survey=survey, result=f"{document}\n".encode(),
            program=PROGRAM, title=title, summary=summary, kind=kind,
        )  # fmt: skip
    return f"{short(entry.id)}  {kind} saved at {where.name}"
