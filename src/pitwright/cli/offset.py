"""``pitwright offset``: plain, rolling and equal-spread offsets, without a survey."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence

from pitwright.cli.main import OK, REFUSED
from pitwright.errors import Contradiction, Malformed, Missing, OutOfRange
from pitwright.findings import Refusal
from pitwright.trains import offset as engine
from pitwright.units.inches import both_text
from pitwright.units.kinds import ANGLE, DEGREE, INCH
from pitwright.units.measure import Measure, measure
from pitwright.wording.offset import CAUTIONS, OffsetSheet, Run, offset_text

HELP = "plain, rolling and equal-spread offsets: travel, cut length, stagger"
SCHEMA = "pitwright-offset-1"
LEAST_NIPPLE = "1/8"
"""Bare pipe between two faces so that a cutter's burr and both depth marks show. [in] Judgement."""
SHORTEST, LONGEST, MOST_PIPES = INCH / 64, 12000 * INCH, 50
SAME_BEND = 0.01 * DEGREE

LENGTHS = {
    "offset": "sideways distance between the two runs, axis to axis",
    "rise": "up or down; with --offset or --roll it makes a rolling offset",
    "roll": "another word for --offset beside a --rise",
    "true-offset": "straight distance between the runs, whatever its direction",
    "travel": "offset travel, centre to centre, when that is known",
    "advance": "how far the run moves on, when that is known",
    "run": "run before, from its far end to the centre of the second bend",
    "run-after": "run after, from its far end to the centre of the first bend",
    "spacing": "pipes side by side: axis to axis, to be kept through the offset",
}


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    for name, line in LENGTHS.items():
        also = ["--spread"] if name == "spacing" else []
        parser.add_argument(f"--{name}", *also, metavar="LENGTH", help=line)
    bends = ", ".join(f"{bend / DEGREE:g}" for bend in engine.STANDARD_BENDS)
    parser.add_argument("--angle", metavar="BEND", help=f"bend of both fittings: {bends}")
    for name, line in (
        ("takeout", "centre of a fitting to its seat; twice when the two fittings differ"),
        ("depth", "socket depth; twice when the two fittings differ"),
    ):
        parser.add_argument(f"--{name}", metavar="LENGTH", action="append", default=[], help=line)
    parser.add_argument(
        "--least-nipple",
        metavar="LENGTH",
        default=f"{LEAST_NIPPLE} in",
        help="bare pipe to keep between two faces (default: %(default)s)",
    )
    parser.add_argument("--pipes", metavar="N", help="how many pipes side by side (default: 2)")
    parser.add_argument(
        "--unit", choices=("in", "ft", "mm", "cm", "m"), default="in", help="of bare numbers"
    )
    parser.add_argument("--json", action="store_true", help="print JSON for machines")


def run(args: argparse.Namespace) -> int:
    """Work it out and print it; 3 when no piece fits between the fittings."""
    sheet = worked_out(args)
    print(json.dumps(document(sheet), indent=2) if args.json else offset_text(sheet))
    return REFUSED if isinstance(sheet.piece, Refusal) else OK


def worked_out(args: argparse.Namespace) -> OffsetSheet:
    """Everything asked for, from the options as typed.

    Raises Missing, Malformed, WrongUnit, OutOfRange or Contradiction, each naming its option.
    """
    read = {name: _length(args, name) for name in LENGTHS}
    bend = _bend(args.angle)
    known = _known(read)
    offset = engine.solve(bend=bend, **{name: reading.si for name, reading in known.items()})
    takeouts = _pair(args, "takeout")
    depths = _pair(args, "depth")
    if depths and not takeouts:
        raise Missing("--takeout", "a depth alone gives no cut length")
    ends = tuple(
        engine.End(takeout.si, depth.si if depth else 0.0)
        for takeout, depth in zip(takeouts, depths or (None, None), strict=False)
    )
    nipple = _measured("--least-nipple", args.least_nipple, args.unit, 0.0).si if depths else 0.0
    pipes = _pipes(args, read["spacing"])
    lean = offset.roll_angle if offset.rolling else 0.0
    step = engine.stagger(read["spacing"].si, offset.bend, lean) if read["spacing"] else 0.0
    return OffsetSheet(
        offset=offset,
        bend_given=bend is not None,
        ends=ends,
        depths_given=bool(depths),
        least_nipple=nipple,
        piece=engine.piece_between(offset.travel, ends, nipple) if ends else None,
        cut_band=_cut_band(known, bend, takeouts) if ends else None,
        least_offset=engine.least_offset(offset.bend, ends, nipple) if depths else None,
        runs=tuple(_runs(read, offset.advance)),
        spacing=read["spacing"].si if read["spacing"] else None,
        later=tuple(i * step for i in range(pipes)),
    )


def _length(args: argparse.Namespace, name: str) -> Measure | None:
    typed = getattr(args, name.replace("-", "_"))
    return None if typed is None else _measured(f"--{name}", typed, args.unit, SHORTEST)


def _measured(where: str, typed: str, unit: str, low: float) -> Measure:
    return measure(typed, default=unit, where=where, low=low, high=LONGEST)


def _known(read: dict[str, Measure | None]) -> dict[str, Measure]:
    """What the engine is told: ``--offset`` is the roll beside a rise, else the whole offset."""
    offset, roll = read["offset"], read["roll"]
    if offset and roll:
        rule = f"says the same as --roll, and that came too ({roll.text})"
        raise Contradiction("--offset", offset.text, rule, "give one of the two")
    rolling = read["rise"] or read["true-offset"]
    told = {
        "rise": read["rise"],
        "roll": roll or (offset if rolling else None),
        "true": read["true-offset"] or (None if rolling else offset),
        "travel": read["travel"],
        "advance": read["advance"],
    }
    return {name: reading for name, reading in told.items() if reading}


def _pair(args: argparse.Namespace, name: str) -> tuple[Measure, ...]:
    """Two readings, one an end; a single one serves both ends."""
    typed: list[str] = getattr(args, name)
    if len(typed) > 2:
        hint = "an offset has two fittings; give it once when they are alike"
        raise OutOfRange(f"--{name}", f"{len(typed)} values", 1, 2, hint)
    got = tuple(_measured(f"--{name}", text, args.unit, 0.0) for text in typed)
    return got * 2 if len(got) == 1 else got


def _bend(typed: str | None) -> float | None:
    """A standard bend, exactly."""
    if typed is None:
        return None
    got = measure(typed, ANGLE, default="deg", where="--angle").si
    standard = engine.nearest_bend(got)
    if abs(standard - got) > SAME_BEND:
        bends = ", ".join(f"{bend / DEGREE:g}" for bend in engine.STANDARD_BENDS)
        raise Malformed("--angle", typed, f"must be a standard bend ({bends})", "choose one")
    return standard


def _pipes(args: argparse.Namespace, spacing: Measure | None) -> int:
    if args.pipes is None:
        return 2 if spacing else 0
    if spacing is None:
        raise Missing("--spacing", "how far apart the pipes lie, axis to axis")
    text = args.pipes.strip()
    if not text.isascii() or not text.isdecimal() or not 2 <= int(text[:9]) <= MOST_PIPES:
        raise OutOfRange("--pipes", args.pipes, 2, MOST_PIPES, "count the pipes side by side")
    return int(text)


def _runs(read: dict[str, Measure | None], advance: float) -> Sequence[Run]:
    names = (("run", "run before"), ("run-after", "run after"))
    return [
        Run(words, given.si, engine.run_left(given.si, advance))
        for name, words in names
        if (given := read[name]) is not None
    ]


def _cut_band(
    known: dict[str, Measure], bend: float | None, takeouts: Sequence[Measure]
) -> tuple[float, float] | None:
    """Least and most of the cut, when any reading in it carries limits."""
    names = list(known)
    readings = [*known.values(), *takeouts]
    if all(reading.limit is None for reading in readings):
        return None
    centre = engine.solve(bend=bend, **{n: m.si for n, m in known.items()}).travel
    centre -= sum(takeout.si for takeout in takeouts)

    def cut(values: Sequence[float]) -> float:
        try:
            travel = engine.solve(bend=bend, **dict(zip(names, values, strict=False))).travel
        except (Contradiction, OutOfRange):
            return centre  # these ends of the limits cannot be true together
        return engine.cut_length(travel, values[len(names) :])

    return engine.band([(r.low, r.high) for r in readings], cut)


def document(sheet: OffsetSheet) -> dict[str, object]:
    """The JSON document of docs/json.md. Lengths [m], angles [deg]."""
    offset = sheet.offset
    piece = sheet.piece
    fits = piece if piece is not None and not isinstance(piece, Refusal) else None
    band = sheet.cut_band if fits else None
    return {
        "schema": SCHEMA,
        "kind": "rolling" if offset.rolling else "plain",
        "bend_deg": offset.bend / DEGREE,
        "nearest_standard_bend_deg": engine.nearest_bend(offset.bend) / DEGREE,
        "rise_m": offset.rise,
        "roll_m": offset.roll,
        "roll_angle_deg": offset.roll_angle / DEGREE,
        **_both("true_offset", offset.true),
        **_both("travel", offset.travel),
        **_both("advance", offset.advance),
        **_both("cut", fits.length if fits else None),
        "cut_low_m": band[0] if band else None,
        "cut_high_m": band[1] if band else None,
        "bare_m": fits.bare if fits and sheet.depths_given else None,
        "least_nipple_m": sheet.least_nipple if sheet.depths_given else None,
        "least_offset_m": sheet.least_offset,
        "refused": _refusal(piece) if isinstance(piece, Refusal) else None,
        "runs": [
            {"run": r.name, "measured_m": r.measured, **_both("left", r.left)} for r in sheet.runs
        ],
        "spacing_m": sheet.spacing,
        "pipes": [{"pipe": i, **_both("later", x)} for i, x in enumerate(sheet.later, start=1)],
        "cautions": list(CAUTIONS),
    }


def _both(name: str, length: float | None) -> dict[str, object]:
    return {f"{name}_m": length, f"{name}_text": None if length is None else both_text(length)}


def _refusal(refusal: Refusal) -> list[dict[str, object]]:
    return [
        {"code": s.code, "have_m": s.have, "need_m": s.need, "missed_m": s.missed, "lift": s.lift}
        for s in refusal.because
    ]
