"""``pitwright demo``: the main job on the example pit, start to sheet."""

from __future__ import annotations

import argparse
import json
from importlib.resources import files

from pitwright import __version__
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.files import write_files
from pitwright.cli.main import OK
from pitwright.cli.plan import PAPERS, plan_files
from pitwright.planning import plan
from pitwright.survey.pit import read_survey
from pitwright.wording.plan import plan_text
from pitwright.wording.plan_data import plan_data

HELP = "plan the example pit and write its sheets"
PIT = "school-garden.pit.toml"


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument("--out", metavar="DIR", default="pitwright-out", help="where to write")
    parser.add_argument("--paper", choices=PAPERS, default="letter", help="size of the pit sheet")


def run(args: argparse.Namespace) -> int:
    """Read the example, plan it, write everything, and say where it lies."""
    text = files("pitwright.cli").joinpath(f"data/{PIT}").read_text("utf-8")
    made = plan(read_survey(text, PIT, load_shelf()))
    document = json.dumps(plan_data(made, __version__), indent=2, ensure_ascii=False)
    wanted = {PIT: text.encode(), **plan_files(made, document, args.paper)}
    written = write_files(args.out, wanted)
    print(plan_text(made))
    print("\nwritten:")
    for path in written:
        print(f"  {path}")
    return OK
