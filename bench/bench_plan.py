"""How long the example takes to plan: as a whole process, and its steps in a process that runs."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

from bench.timing import HEADING, process, row, timed
from pitwright.catalogue.shelf import load_shelf
from pitwright.paper.pit_sheet import pit_sheet_pdf
from pitwright.planning import plan
from pitwright.survey.pit import load_survey
from pitwright.wording.plan_data import plan_data

GARDEN = str(Path(__file__).resolve().parents[1] / "examples" / "school-garden.pit.toml")
ROUNDS = 3


def main() -> None:
    """Print the table."""
    shelf = load_shelf()
    survey = load_survey(GARDEN, shelf)
    made = plan(survey)
    three = replace(survey, preferences=replace(survey.preferences, most_bends=3))
    planned = ("-m", "pitwright", "plan", GARDEN)
    with TemporaryDirectory() as out:
        rows = (
            ("peer: `python -c pass`, whole process", process("-c", "pass"), ""),
            ("`pitwright plan`, whole process", process(*planned, allowed=(3,)), "500"),
            (
                "`pitwright plan --out`, with drawings and PDF, whole process",
                process(*planned, "--out", out, allowed=(3,)),
                "",
            ),
            ("reading the survey", lambda: load_survey(GARDEN, shelf), ""),
            ("its four zones, all ways, four bends", lambda: plan(survey), "4000"),
            ("its four zones, all ways, three bends", lambda: plan(three), "1000"),
            ("the document", lambda: json.dumps(plan_data(made, "0")), ""),
            ("the pit sheet as PDF", lambda: pit_sheet_pdf(made, "letter"), ""),
        )
        print(HEADING)
        for what, work, target in rows:
            print(row(what, timed(work, ROUNDS), target))


if __name__ == "__main__":
    main()
