"""What was read from a survey, said back: stubs, zones, every reading, and what is in doubt."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import replace

from pitwright.catalogue.identify.candidates import Identified
from pitwright.catalogue.parts import JointKind
from pitwright.findings import Finding, Weight
from pitwright.geometry.vector import Vec, norm, sub
from pitwright.survey.checks import readings_within
from pitwright.survey.directions import AXES, leans
from pitwright.survey.pit import Survey
from pitwright.survey.readings import Reading
from pitwright.survey.stubs import Straight, Stub
from pitwright.survey.zones import Zone
from pitwright.units.inches import both_text, inches_text, on_tape
from pitwright.units.kinds import BAR, CELSIUS_ZERO, GALLON, INCH, PSI
from pitwright.wording.identify import HAZARDS, group_name, question_text

__all__ = [
    "doubt_lines",
    "facing_text",
    "finding_text",
    "gathered",
    "place_text",
    "reading_row",
    "straight_text",
    "survey_text",
    "understood_words",
    "weighed",
]

HEADINGS = ("reading", "as typed", "in trade units", "metric", "one sigma", "read with")
FINDINGS = {
    "nothing-checks": (
        "nothing checks these readings, and a slip in one goes straight into the cuts: read them"
        " twice: {readings}"
    ),
    "condition-not-given": "stub {stub}: its condition is not given; it is taken as old pipe",
    "directions-disagree": (
        "stub {stub}: faces and through disagree by {apart}; measure the second point again"
    ),
    "direction-by-eye": (
        "stub {stub}: its direction is known to {sigma} (one sigma) only; a second point on the"
        " pipe (through), 12 in behind the tip, would give 0.4 deg"
    ),
    "seep-proved-dry": (
        "stub {stub}: it ran ({flow}) and was proved dry since; look again before each joint, for"
        " a shut-off that let water by may do so again"
    ),
    "bare-path-not-given": (
        "stub {stub}: the bare pipe behind it is not given; it is taken as held right at the tip"
    ),
    "pipe-cracked": "stub {stub}: cracked pipe takes no joint; cut past the crack, both ways",
    "pipe-chalky": "stub {stub}: chalky pipe must not be flexed, and may not hold cement",
    "pipe-unknown": (
        "stub {stub}: its pipe has no name yet; settle it before anything is cut or bought"
    ),
    "pipe-fits-nothing": (
        "stub {stub}: nothing on the shelf measures so; read it again, another way"
    ),
    "pipe-measures-otherwise": (
        "stub {stub}: it measures {diameter}, and {pipe} is {low} to {high}; measure again, or ask"
        " pitwright identify"
    ),
    "part-not-on-shelf": "part {part} is not on the shelf; it is kept, and not planned with",
    "stub-serves-no-zone": "stub {stub} serves no zone",
    "made-up-not-measured": (
        "valve {valve}: the made-up unit is not measured; make it up with its adapters on the bench"
        " and measure from socket bottom to socket bottom (made_up)"
    ),
    "valve-not-asked-for": "valve {valve}: no zone asks for it",
    "zone-asks-for-nothing": "zone {zone} asks for no new valve",
}
_WEIGHTS = {Weight.STOP: "STOP", Weight.CHECK: "check", Weight.NOTE: "note"}
_ENDS = {
    JointKind.PIPE: "plain pipe end",
    JointKind.SOCKET: "socket",
    JointKind.MALE_THREAD: "male thread",
    JointKind.FEMALE_THREAD: "female thread",
}
_UNITS = {"in": "inches", "ft": "feet", "mm": "millimetres", "cm": "centimetres", "m": "metres"}


def _degrees(angle: float, digits: int = 1) -> str:
    return f"{math.degrees(angle):.{digits}f} deg"


def _decimal_inches(length: float) -> str:
    return f"{length / INCH:.3f} in"


def place_text(at: Vec) -> str:
    """``4 3/16 in right, 3 15/16 in downstream, 1/16 in up`` for a point. [m]"""
    words = [plus if v >= 0.0 else minus for v, (plus, minus) in zip(at, AXES, strict=True)]
    return ", ".join(f"{inches_text(abs(v))} {w}" for v, w in zip(at, words, strict=True))


def facing_text(direction: Vec) -> str:
    """``downstream, 1.0 deg right, 0.5 deg down`` for a unit direction; no lean of nothing. [-]"""
    word, sides = leans(direction)
    leaning = [(said, side) for angle, side in sides if (said := _degrees(angle)) != "0.0 deg"]
    return ", ".join((word, *(f"{said} {side}" for said, side in leaning)))


def straight_text(straight: Straight, way: bool = True) -> str:
    """``18 in down`` for one straight of a bare path: its length, and the way it runs. [m]"""
    said = inches_text(straight.length)
    return f"{said} {leans(straight.direction)[0]}" if way else said


def finding_text(found: Finding) -> str:
    """One finding as a sentence; lengths in inches, angles in degrees. [m, rad]"""
    numbers = {name: _number(name, value) for name, value in found.numbers}
    if found.code in HAZARDS:
        return f"stub {found.name('stub')}: {HAZARDS[found.code]}"
    return FINDINGS[found.code].format(**numbers, **dict(found.names))


def _number(name: str, value: float) -> str:
    if name == "flow":
        return f"{value * 60e6:.3g} mL/min"
    return _degrees(value) if name in ("apart", "sigma", "doubt") else _decimal_inches(value)


def doubt_lines(findings: tuple[Finding, ...]) -> list[str]:
    """The findings as lines: stops first, then checks, then notes."""
    return [f"{_WEIGHTS[f.weight]}: {finding_text(f)}" for f in weighed(gathered(findings))]


def weighed(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order to be told: stops first, then checks, then notes. [SI]"""
    order = (Weight.STOP, Weight.CHECK, Weight.NOTE)
    return sorted(findings, key=lambda f: order.index(f.weight))


def gathered(findings: tuple[Finding, ...]) -> list[Finding]:
    """Findings that differ by their stub alone made one, in the order they first came. [SI]"""
    stubs: dict[Finding, list[str]] = {}
    for f in findings:
        others = tuple((k, v) for k, v in f.names if k != "stub")
        mine = [v for k, v in f.names if k == "stub"]
        stubs.setdefault(replace(f, names=others), []).extend(mine)
    return [
        replace(f, names=(*f.names, ("stub", ", ".join(names)))) if names else f
        for f, names in stubs.items()
    ]


def _sizes(kind: str, value: float) -> tuple[str, str]:
    """A value in the trade's unit and in a metric one. [SI]"""
    match kind:
        case "length":
            return inches_text(value), f"{value * 1000:.1f} mm"
        case "angle":
            return _degrees(value, 2), f"{value * 1000:.1f} mrad"
        case "pressure":
            return f"{value / PSI:.1f} psi", f"{value / BAR:.2f} bar"
        case "flow":
            return f"{value * 60 / GALLON:.3g} gpm", f"{value * 60e3:.3g} L/min"
        case "volume":
            return f"{value / GALLON:.3g} gal", f"{value * 1e3:.3g} L"
        case "temperature":
            celsius = value - CELSIUS_ZERO
            return f"{celsius * 1.8 + 32:.0f} °F", f"{celsius:.0f} °C"
        case "time":
            return f"{value:.4g} s", f"{value:.4g} s"
        case _:
            return f"{value:.4g} Ω", f"{value:.4g} Ω"


def _sigma(reading: Reading) -> str:
    one = reading.sigma.one
    match reading.kind:
        case "length":
            return f"{one / INCH:.3f} in"
        case "angle":
            return _degrees(one, 2)
        case "temperature":
            return f"{one * 1.8:.1f} °F"
        case _:
            return _sizes(reading.kind, one)[0]


def reading_row(reading: Reading) -> tuple[str, ...]:
    """One line of the table: key path, text, both sizes, sigma and where it is from. [SI]"""
    trade, metric = _sizes(reading.kind, reading.value)
    if reading.kind == "length" and abs(on_tape(reading.value).metres - reading.value) > 1e-5:
        trade = f"{reading.value / INCH:.3f} in"
    tool = "as given" if reading.given else reading.tool
    return (reading.id, reading.text, trade, metric, _sigma(reading), tool)


def _table(rows: list[tuple[str, ...]]) -> list[str]:
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return [
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    ]


def _stub_lines(stub: Stub) -> list[str]:
    pipe = stub.pipe.name if stub.pipe else "unknown pipe"
    lines = [
        f"{stub.id} ({stub.side.value}, {pipe}, {stub.condition})",
        f"    tip at {place_text(stub.tip.mean)}",
        f"    faces {facing_text(stub.outward)} (one sigma {_degrees(stub.outward_sigma, 2)})",
        f"    offers a {_ENDS[stub.end]}; may be cut back {both_text(stub.cut_back)}",
    ]
    if stub.bare:
        path = ", then ".join(f"{inches_text(s.length)} {leans(s.direction)[0]}" for s in stub.bare)
        lines.append(f"    bare behind it: {path}")
    if stub.identified:
        lines += _what_pipe(stub.identified)
    if stub.seeps_reading and stub.seeps_reading.value:
        since = ", proved dry since" if stub.proved_dry else ""
        lines.append(f"    seeps {_sizes('flow', stub.seeps_reading.value)[1]}{since}")
    if stub.relief:
        mouth = place_text(stub.relief.mouth.mean)
        lines.append(f"    can be let out at {mouth}, {both_text(stub.relief.bore)} wide")
    return lines


def _what_pipe(found: Identified) -> list[str]:
    """What an unknown pipe can be, and what would tell."""
    can = [group_name(g) for g in found.fitting] or ["nothing on the shelf"]
    lines = [f"    it can be: {', or '.join(can)}"]
    if found.questions:
        lines.append(f"    to tell them apart: {question_text(found.questions[0].what)}")
    return lines


def _without_valve(zone: Zone) -> str:
    return "to be joined without a valve" if zone.join else "no new valve asked for"


def _zone_lines(survey: Survey) -> list[str]:
    lines = []
    for zone in survey.zones:
        a, b = survey.stub(zone.inlet).tip.mean, survey.stub(zone.outlet).tip.mean
        across = sub(b, a)
        wants = f"new valve: {zone.valve}" if zone.valve else _without_valve(zone)
        lines += [
            f"{zone.id} ({zone.name}): {zone.inlet} to {zone.outlet}, {wants}",
            f"    the tips lie {both_text(norm(across))} apart: {place_text(across)}",
        ]
    return lines


def survey_text(survey: Survey) -> str:
    """The survey said back for a person to compare with the pit. [inches, mm, degrees]"""
    heading = f"{survey.name} ({survey.file}), lengths without a unit are {_UNITS[survey.unit]}"
    lines = [heading]
    if survey.downstream:
        lines.append(f"downstream is {survey.downstream}")
    lines += ["", "stubs"]
    for stub in survey.stubs:
        lines += [f"  {line}" for line in _stub_lines(stub)]
    lines += ["", "zones", *(f"  {line}" for line in _zone_lines(survey))]
    rows = [HEADINGS, *(reading_row(r) for r in readings_within(survey))]
    lines += ["", f"readings ({len(rows) - 1})", *(f"  {line}" for line in _table(rows))]
    lines += ["", "in doubt", *(f"  {line}" for line in doubt_lines(survey.findings))]
    return "\n".join(lines) + "\n"


def understood_words(stub: Stub) -> str:
    """A stub said back: its pipe, its tip, where it looks, its cut, its seep. [in, mm, deg]"""
    pipe = f"It is {stub.pipe.name}. " if stub.pipe else ""
    said = (
        f"{pipe}Tip at {place_text(stub.tip.mean)}. It faces {facing_text(stub.outward)}. "
        f"It may be cut back {both_text(stub.cut_back)}."
    )
    if stub.seeps_reading is not None and stub.seeps_reading.value > 0.0:
        said += f" It seeps {stub.seeps_reading.value * 60e6:.3g} mL/min"
        said += ", and was proved dry since." if stub.proved_dry else "."
    return said
