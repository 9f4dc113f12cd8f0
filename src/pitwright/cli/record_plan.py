"""What joins ``pitwright plan`` to the record: a plan saved there, a survey taken from there."""

from __future__ import annotations

import argparse
from pathlib import Path

from pitwright import __version__
from pitwright.cli.record_ground import hand_of, opened, pit_of, place_options
from pitwright.planning import Plan
from pitwright.records.entry import short
from pitwright.records.pits import save_plan, survey_of
from pitwright.survey.source import text_of
from pitwright.wording.record import plan_summary

__all__ = ["configure", "save", "survey_text"]

PROGRAM = f"pitwright {__version__}"


def configure(parser: argparse.ArgumentParser) -> None:
    """Options that save a plan in the record, and say which record."""
    parser.add_argument("--save", metavar="PIT", help="keep survey and plan in the record, at PIT")
    parser.add_argument(
        "--entry", metavar="ID", default="", help="with --from: of this plan, not the newest"
    )
    place_options(parser)


def survey_text(args: argparse.Namespace) -> tuple[str, bytes]:
    """The survey's name for messages, and its bytes as they stand in the file or the record.

    Raises what reading either may raise.
    """
    if args.survey:
        text_of(args.survey)
        return args.survey, Path(args.survey).read_bytes()
    with opened(args) as store:
        saved = survey_of(store, pit_of(store, args.origin), args.entry)
    return f"survey of {short(saved.entry.id)} in the record", saved.survey


def save(args: argparse.Namespace, survey: bytes, made: Plan, document: str) -> str:
    """Keep the exact survey and result, and the program's version; the line that says so."""
    with opened(args) as store:
        place = pit_of(store, args.save)
        refused = len(made.refused)
        entry = save_plan(
            store, hand_of(store), place, survey=survey, result=f"{document}\n".encode(),
            program=PROGRAM, title=made.survey.name,
            summary=plan_summary(len(made.zones) - refused, refused),
        )  # fmt: skip
    return f"{short(entry.id)}  plan saved at {place.name}"
