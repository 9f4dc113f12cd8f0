"""``pitwright cure``: when may hands, braces and water change on a cemented joint?"""

from __future__ import annotations

import argparse
import json
import re
from datetime import datetime

from pitwright.catalogue.shelf import load_shelf
from pitwright.cli.main import OK, REFUSED
from pitwright.errors import Malformed, Missing
from pitwright.findings import Refusal
from pitwright.jointing.clock import joint_clock
from pitwright.jointing.methods import thrust, without_cure
from pitwright.jointing.question import COLDEST, HOTTEST, CementedJoint, Warmth, nominal_size
from pitwright.jointing.times import joint_times
from pitwright.units.kinds import PRESSURE, TEMPERATURE, TIME
from pitwright.units.measure import measure
from pitwright.wording.cautions import cautions
from pitwright.wording.jointing import cure_text, refusal_text
from pitwright.wording.jointing_data import SHOWN, cure_document

HELP = "when may water stand in a cemented joint? Working, hold, set and cure time"

THINGS = ("air", "pipe", "ground")
_CLOCK = re.compile(r"\s*(\d{1,2})(?:[:.](\d{2}))?\s*([ap])?\.?(?:m\.?)?\s*\Z", re.IGNORECASE)
_ANY_DAY = (2001, 1, 1)
"""A day that stands for the day of work; only the days that pass are shown."""


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument("--size", metavar="SIZE", help="nominal size: 3/4, 1, 1-1/4, ...")
    for name in THINGS:
        line = f"how warm the {name} is; the coldest of the three counts"
        parser.add_argument(f"--{name}", metavar="TEMPERATURE", help=line)
    parser.add_argument("--pressure", metavar="PRESSURE", help="what will stand in it")
    parser.add_argument("--humid", action="store_true", help="humid air or damp weather")
    parser.add_argument(
        "--wet", action="store_true", help="a wet socket, or water that will reach it"
    )
    parser.add_argument(
        "--wet-after", metavar="TIME", help="from the last coat until seeping water reaches it"
    )
    parser.add_argument("--loose", action="store_true", help="the dry fit goes in without grip")
    parser.add_argument("--cement", metavar="CLASS", default="", help="regular, medium, fast, ...")
    parser.add_argument("--at", metavar="CLOCK", help="when the last coat goes on: 12:00, 3:30 pm")
    parser.add_argument("--unit", choices=("F", "C"), default="F", help="of bare temperatures")
    parser.add_argument("--json", action="store_true", help="print JSON for machines")


def run(args: argparse.Namespace) -> int:
    """Say the times, 0; or why it is not cemented, 3."""
    joint = joint_of(args)
    made_at = clock_of(args.at) if args.at is not None else None
    got = joint_times(joint)
    refused = isinstance(got, Refusal)
    clock = None if isinstance(got, Refusal) or made_at is None else joint_clock(made_at, got)
    instead = without_cure() if refused else ()
    push = push_of(joint) if refused else None
    if args.json:
        print(json.dumps(cure_document(joint, got, clock, instead, push), indent=2))
    else:
        said = (
            refusal_text(got, instead, push) if isinstance(got, Refusal) else cure_text(got, clock)
        )
        print(said, *(f"! {c.words}" for c in cautions() if c.code in SHOWN), sep="\n")
    return REFUSED if refused else OK


def joint_of(args: argparse.Namespace) -> CementedJoint:
    """The joint as typed. [K, Pa, s] Raises Missing, UnknownName and what a measure may."""
    if args.size is None:
        raise Missing("--size", "give the nominal size of the pipe, as in --size 1-1/4")
    warm = {name: warmth_of(args, name) for name in THINGS}
    if not any(warm.values()):
        raise Missing("--air, --pipe or --ground", "read a thermometer and give one, as in 60F")
    pressure = None
    if args.pressure is not None:
        pressure = measure(args.pressure, PRESSURE, default="psi", where="--pressure").high
    wet_after = None
    if args.wet_after is not None:
        # a range counts to its soonest
        wet_after = measure(args.wet_after, TIME, default="min", where="--wet-after").low
    return CementedJoint(
        nominal_size(args.size, "--size"),
        warm["air"],
        warm["pipe"],
        warm["ground"],
        pressure=pressure,
        humid=args.humid,
        wet=args.wet,
        loose=args.loose,
        cement=args.cement,
        wet_after=wet_after,
    ).checked()


def warmth_of(args: argparse.Namespace, name: str) -> Warmth | None:
    """One temperature as typed, a range from its coldest to its hottest. [K]"""
    text = getattr(args, name)
    if text is None:
        return None
    read = measure(
        text, TEMPERATURE, default=args.unit, where=f"--{name}", low=COLDEST, high=HOTTEST
    )
    return Warmth(read.low, read.high)


def clock_of(text: str) -> datetime:
    """A clock time as typed: 12:00, 15.30, 3:30 pm, noon. Raises Malformed."""
    found = _CLOCK.match("12:00" if text.strip().casefold() == "noon" else text)
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (99, 0)
    half = (found[3] or "").casefold() if found else ""
    bare = found is not None and not found[2] and not half
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "p" else 0)
    elif half:
        hour = 99
    if hour > 23 or minute > 59 or bare:
        raise Malformed("--at", text, "must be a clock time", "write it as 12:00, 15:30 or 3:30 pm")
    return datetime(*_ANY_DAY, hour, minute)


def push_of(joint: CementedJoint) -> tuple[float, float] | None:
    """The pressure [Pa] and its thrust on a closed end [N], where size and pressure are known."""
    if joint.pressure is None:
        return None
    for pipe in load_shelf().pipes:
        if (pipe.system, pipe.size, pipe.material) == ("ips", joint.size, "pvc"):
            return joint.pressure, thrust(joint.pressure, pipe.od.value)
    return None
