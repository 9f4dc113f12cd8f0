"""``pitwright survey``: write a new survey file, or say back what one holds."""

from __future__ import annotations

import argparse
import json
import math
import sys
from importlib.resources import files

from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.files import write_file
from pitwright.survey.checks import readings_within
from pitwright.survey.pit import Survey, load_survey
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Stub
from pitwright.wording.survey import facing_text, finding_text, survey_text

__all__ = ["HELP", "SCHEMA", "configure", "run", "survey_json"]

HELP = "write a new survey file, or check what one holds"
SCHEMA = "pitwright-survey-1"
NEW_NAME = "new.pit.toml"
_UNITS = {
    "length": "m",
    "angle": "deg",
    "pressure": "Pa",
    "flow": "m3/s",
    "volume": "m3",
    "temperature": "K",
    "time": "s",
    "resistance": "ohm",
}


def configure(parser: argparse.ArgumentParser) -> None:
    """Fill in the two jobs of the command and their options."""
    jobs = parser.add_subparsers(dest="job", metavar="new | check", required=True)
    new = jobs.add_parser("new", help="write a commented template to fill in")
    new.add_argument(
        "--out", metavar="FILE", default=NEW_NAME, help=f"the file to write ({NEW_NAME})"
    )
    check = jobs.add_parser("check", help="say back what a survey holds, and what is in doubt")
    check.add_argument("file", metavar="FILE", help="a survey (*.pit.toml)")
    check.add_argument("--json", action="store_true", help="print JSON for machines")


def run(args: argparse.Namespace) -> int:
    """Do the job asked for; 0 when done. Mistakes are raised for the door to tell."""
    if args.job == "new":
        template = files("pitwright.survey").joinpath("data/template.pit.toml").read_bytes()
        write_file(args.out, template)
        print(f"{args.out} written: fill it in, then: pitwright survey check {args.out}")
        return 0
    survey = load_survey(args.file, load_shelf())
    if args.json:
        json.dump(survey_json(survey), sys.stdout, ensure_ascii=False, indent=2)
        print()
    else:
        print(survey_text(survey), end="")
    return 0


def survey_json(survey: Survey) -> dict[str, object]:
    """The survey as ``pitwright-survey-1`` of docs/json.md. [SI, angles in degrees]"""
    return {
        "schema": SCHEMA,
        "file": survey.file,
        "name": survey.name,
        "unit": survey.unit,
        "downstream": survey.downstream,
        "stubs": [_stub(stub) for stub in survey.stubs],
        "zones": [
            {
                "id": z.id,
                "name": z.name,
                "inlet": z.inlet,
                "outlet": z.outlet,
                "valve": z.valve,
                "join": z.join,
            }
            for z in survey.zones
        ],
        "readings": [_reading(reading) for reading in readings_within(survey)],
        "findings": [
            {
                "code": f.code,
                "weight": f.weight.value,
                "numbers": dict(f.numbers),
                "names": dict(f.names),
                "source": f.source,
                "text": finding_text(f),
            }
            for f in survey.findings
        ],
    }


def _stub(stub: Stub) -> dict[str, object]:
    return {
        "id": stub.id,
        "side": stub.side.value,
        "tip_m": list(stub.tip.mean),
        "tip_covariance_m2": [list(row) for row in stub.tip.covariance],
        "outward": list(stub.outward),
        "outward_sigma_deg": math.degrees(stub.outward_sigma),
        "faces": facing_text(stub.outward),
        "pipe": stub.pipe.id if stub.pipe else None,
        "candidates": [c.pipe.id for c in stub.candidates],
        "end": stub.end.value,
        "cut_back_m": stub.cut_back,
        "bare": [{"direction": list(s.direction), "length_m": s.length} for s in stub.bare],
        "condition": stub.condition,
        "seeps_m3_s": stub.seeps,
        "proved_dry": stub.proved_dry,
        "relief": (
            {"mouth_m": list(stub.relief.mouth.mean), "bore_m": stub.relief.bore}
            if stub.relief
            else None
        ),
    }


def _shown(value: float, kind: str) -> float:
    return math.degrees(value) if kind == "angle" else value


def _reading(reading: Reading) -> dict[str, object]:
    return {
        "id": reading.id,
        "text": reading.text,
        "kind": reading.kind,
        "value": _shown(reading.value, reading.kind),
        "sigma": _shown(reading.sigma.one, reading.kind),
        "unit": _UNITS[reading.kind],
        "tool": reading.tool,
        "given": reading.given,
    }
