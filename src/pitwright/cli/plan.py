"""``pitwright plan``: a survey in, a plan out."""

from __future__ import annotations

import argparse
import json
import sys
from dataclasses import replace

from pitwright import __version__
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli import record_plan
from pitwright.cli.files import write_files
from pitwright.cli.main import OK, REFUSED
from pitwright.planning import Plan, plan
from pitwright.survey.pit import read_survey
from pitwright.survey.weights import load_weights
from pitwright.wording.plan import plan_text
from pitwright.wording.plan_data import plan_data
from pitwright.wording.record import plan_summary

HELP = "a pit's survey in, cut list, parts and pit sheet out"
PAPERS = ("letter", "a4")


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    origin = parser.add_mutually_exclusive_group(required=True)
    origin.add_argument("survey", metavar="FILE", nargs="?", help="the pit's survey, a *.pit.toml")
    origin.add_argument("--from", metavar="PIT", dest="origin", help="the survey of PIT, recorded")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")
    parser.add_argument(
        "--out", metavar="DIR", help="also write plan.json, plan.txt, plan.svg and pit-sheet.pdf"
    )
    parser.add_argument("--paper", choices=PAPERS, default="letter", help="size of the pit sheet")
    parser.add_argument(
        "--weights", metavar="FILE", help="how much each merit weighs, a small *.toml"
    )
    record_plan.configure(parser)


def run(args: argparse.Namespace) -> int:
    """Plan the pit and print it; 3 when some zone is refused."""
    name, data = record_plan.survey_text(args, args.survey)
    survey = read_survey(data.decode("utf-8"), name, load_shelf())
    if args.weights:
        wanted = replace(survey.preferences, weights=load_weights(args.weights))
        survey = replace(survey, preferences=wanted)
    made = plan(survey)
    document = json.dumps(plan_data(made, __version__), indent=2, ensure_ascii=False)
    if args.out:
        write_files(args.out, plan_files(made, document, args.paper))
    if args.save:
        refused = len(made.refused)
        summary = plan_summary(len(made.zones) - refused, refused)
        told = record_plan.save(args, data, document, title=made.survey.name, summary=summary)
        print(told, file=sys.stderr)
    print(document if args.json else plan_text(made))
    return REFUSED if made.refused else OK


def plan_files(made: Plan, document: str, paper: str) -> dict[str, bytes]:
    """Every file of a plan by name. Drawings are imported only when they are wanted."""
    from pitwright.paper.pit_sheet import pit_sheet_pdf, pit_sheet_svg

    return {
        "plan.json": f"{document}\n".encode(),
        "plan.txt": f"{plan_text(made)}\n".encode(),
        "plan.svg": pit_sheet_svg(made),
        "pit-sheet.pdf": pit_sheet_pdf(made, paper),
    }
