"""``pitwright identify``: what pipe is this? From a calliper, a tape across or a string around."""

from __future__ import annotations

import argparse
import json
from typing import Any

from pitwright.catalogue.identify.candidates import Candidate, Group, Identified, identify
from pitwright.catalogue.identify.readings import (
    Clues,
    Reading,
    Tool,
    inside_reading,
    known_word,
    outside_reading,
)
from pitwright.catalogue.own import with_user_shelf
from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.main import OK
from pitwright.errors import Contradiction
from pitwright.survey.source import text_of
from pitwright.units.measure import Measure, measure
from pitwright.wording.identify import group_name, hazard_text, identified_text, question_text

HELP = "what pipe is this? Every pipe it can be, and what would tell them apart"
SCHEMA = "pitwright-identify-1"

LENGTHS = {
    "calliper": "outside diameter by calliper; twice, crosswise, for old pipe",
    "across": "outside diameter by a tape held across",
    "around": "length of a string once around the pipe",
}


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    for name, line in LENGTHS.items():
        parser.add_argument(f"--{name}", metavar="LENGTH", action="append", default=[], help=line)
    parser.add_argument("--string", metavar="LENGTH", help="thickness of the string (default: 0)")
    parser.add_argument("--wall", metavar="LENGTH", help="wall at a cut end, by calliper")
    parser.add_argument("--bore", metavar="LENGTH", help="bore at a cut end, by calliper")
    parser.add_argument("--material", metavar="WORD", help="pvc, cpvc, pe, copper, steel, ...")
    parser.add_argument("--colour", "--color", metavar="WORD", help="white, grey, black, blue, ...")
    parser.add_argument("--stiffness", metavar="WORD", help="rigid, bends or metal")
    parser.add_argument(
        "--old", action="store_true", help="long in the ground: may be out of round"
    )
    parser.add_argument("--shelf", metavar="FILE", help="your own shelf file, laid over ours")
    parser.add_argument("--unit", choices=("in", "mm", "cm"), default="in", help="of bare numbers")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")


def run(args: argparse.Namespace) -> int:
    """Say what it can be. Always 0 when the readings could be read."""
    shelf = load_shelf()
    if args.shelf:
        shelf = with_user_shelf(shelf, text_of(args.shelf), args.shelf)
    found = identify(shelf, clues_of(args))
    print(json.dumps(document(found), indent=2) if args.json else identified_text(found))
    return OK


def clues_of(args: argparse.Namespace) -> Clues:
    """The clues as typed. [m] Raises Contradiction, Missing, UnknownName and what a measure may."""
    given = [t for t in Tool if getattr(args, t.value)]
    if len(given) > 1:
        raise Contradiction(
            "the outside",
            ", ".join(f"--{t.value}" for t in given),
            "is read with one tool at a time",
            "run it once for each and compare",
        )
    if args.string and Tool.AROUND not in given:
        raise Contradiction(
            "--string", args.string, "goes with --around", "leave it out, or give --around"
        )
    string = _length(args, "string", args.string) if args.string else None
    outside = None
    if given:
        read = tuple(_length(args, given[0].value, t) for t in getattr(args, given[0].value))
        outside = outside_reading(given[0], read, string.si if string else 0.0)
    return Clues(
        outside,
        inside_reading("wall", _length(args, "wall", args.wall)) if args.wall else None,
        inside_reading("bore", _length(args, "bore", args.bore)) if args.bore else None,
        known_word("material", args.material),
        known_word("colour", args.colour),
        known_word("stiffness", args.stiffness),
        args.old,
    ).checked()


def _length(args: argparse.Namespace, name: str, text: str) -> Measure:
    return measure(text, default=args.unit, where=f"--{name}", low=0.0)


def document(found: Identified) -> dict[str, Any]:
    """The answer for machines, as docs/json.md says. [m]"""
    clues = found.clues
    return {
        "schema": SCHEMA,
        "outside": _reading(clues.outside),
        "wall": _reading(clues.wall),
        "bore": _reading(clues.bore),
        "material": clues.material,
        "colour": clues.colour,
        "stiffness": clues.stiffness,
        "old": clues.old,
        "groups": [_group(g) for g in found.groups],
        "nearest": [_candidate(c) for c in found.nearest],
        "questions": [
            {"what": q.what, "text": question_text(q.what), "bits": round(q.bits, 3)}
            for q in found.questions
        ],
        "cautions": [
            {"code": f.code, "weight": f.weight.value, "text": hazard_text(f)}
            for f in found.findings
        ],
    }


def _reading(reading: Reading | None) -> dict[str, Any] | None:
    if reading is None:
        return None
    return {
        "text": reading.text,
        "tool": reading.tool.value if reading.tool else "calliper",
        "value_m": reading.value,
        "sigma_m": reading.sigma,
        "limit_m": reading.limit,
    }


def _group(group: Group) -> dict[str, Any]:
    return {
        "name": group_name(group),
        "system": group.system,
        "size": group.size,
        "fits": group.fits,
        "candidates": [_candidate(c) for c in group.candidates],
    }


def _candidate(c: Candidate) -> dict[str, Any]:
    return {
        "id": c.pipe.id,
        "name": c.pipe.name,
        "material": c.pipe.material,
        "schedule": c.pipe.schedule,
        "fits": c.fits,
        "off_m": c.off,
        "off_sigmas": c.sigmas,
        "beyond_m": c.beyond,
        "likelihood": c.weight,
        "against": list(c.against),
        "od_low_m": c.pipe.od.low,
        "od_high_m": c.pipe.od.high,
        "wall_low_m": c.pipe.wall.low,
        "wall_high_m": c.pipe.wall.high,
        "source": c.pipe.od.source,
        "status": c.pipe.od.status,
    }
