"""``pitwright flex``: how far each stub may be bent, and whether digging more would help."""

from __future__ import annotations

import argparse
import json

from pitwright import __version__
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.main import OK, REFUSED
from pitwright.planning import plan
from pitwright.renewal.movable import in_line, movable
from pitwright.survey.pit import load_survey
from pitwright.wording.flex import flex_text
from pitwright.wording.flex_data import flex_data

HELP = "how far each stub may be moved by hand, and how much to dig before it may"


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument("survey", metavar="FILE", help="the pit's survey, a *.pit.toml")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")


def run(args: argparse.Namespace) -> int:
    """Answer the digging question and print it; 3 when some zone has no train at all."""
    made = plan(load_survey(args.survey, load_shelf()))
    survey = made.survey
    stubs = tuple(movable(survey, stub) for stub in survey.stubs)
    lines = tuple(line for zone in survey.zones for line in in_line(survey, zone))
    if args.json:
        document = flex_data(made, stubs, lines, __version__)
        print(json.dumps(document, indent=2, ensure_ascii=False))
    else:
        print(flex_text(made, stubs, lines))
    return REFUSED if made.refused else OK
