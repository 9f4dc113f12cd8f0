"""What ``identify`` says: every pipe it can be, what tells them apart, and what to beware of."""

from __future__ import annotations

from pitwright.catalogue.identify.candidates import Candidate, Group, Identified
from pitwright.catalogue.identify.readings import Reading, Tool
from pitwright.catalogue.shelf import size_name
from pitwright.findings import Finding, Weight
from pitwright.units.kinds import INCH

__all__ = [
    "HAZARDS",
    "QUESTIONS",
    "group_name",
    "hazard_text",
    "identified_text",
    "question_text",
    "reading_text",
]

SYSTEM = {
    "ips": "iron pipe size",
    "cts": "copper tube size",
    "sidr": "insert polyethylene",
    "metric": "metric",
    "inch series": "inch series",
    "ac": "asbestos cement",
}
MATERIAL = {
    "pvc": "PVC",
    "cpvc": "CPVC",
    "pe": "polyethylene",
    "copper": "copper",
    "steel": "steel",
    "asbestos cement": "asbestos cement",
}
TOOL = {
    Tool.CALLIPER: "by calliper",
    Tool.ACROSS: "by tape across",
    Tool.AROUND: "from the string around",
}
QUESTIONS = {
    "material": "What is it made of? Look at a fresh scratch, tap it, try to bend it: "
    "PVC is rigid, polyethylene gives, copper and steel ring.",
    "calliper": "Measure the outside with a calliper, twice, crosswise.",
    "wall": "Measure the wall at a cut end with a calliper.",
    "bore": "Measure the bore at a cut end with a calliper.",
}
HAZARDS = {
    "asbestos-cement": "This may be asbestos cement. Do not cut, break or grind it dry; "
    "stop, and leave it to people qualified for it.",
    "corroded-steel": "If it is steel: old steel is thinner than it looks; "
    "threads crumble, and turning one end may break the next.",
    "brittle-thin-wall": "If it is thin wall: old thin wall is brittle. Cut a ring and squeeze it; "
    "if it snaps, do not spring or bend the pipe.",
    "diameters-far-apart": "The diameters differ by more than any sound pipe is out of round: "
    "it may be squashed or swollen there. Measure at another place, or a string around.",
    "one-diameter-of-old-pipe": "Old pipe is out of round, thin wall by 0.015 to 0.030 in: one "
    "diameter can mislead. Take two, crosswise, or a string around.",
}
MARK = {Weight.NOTE: "-", Weight.CHECK: "!", Weight.STOP: "STOP:"}


def identified_text(found: Identified) -> str:
    """The whole answer for a person. Lengths printed in inches, mm beside. [in, mm]"""
    lines = [reading_text(r) for r in _readings(found)]
    sure = [g for g in found.groups if g.fits]
    rest = [g for g in found.groups if not g.fits]
    if sure:
        lines += ["", "it can be:"]
        lines += [line for number, g in enumerate(sure, 1) for line in _group_lines(number, g)]
    if rest:
        lines += ["", "not excluded, but a stretch:"]
        lines += [f"   {group_name(g)}{_off_text(g.candidates[0])}" for g in rest]
    if not found.groups:
        lines += ["", "nothing on the shelf fits these readings. Nearest:"]
        lines += [f"   {c.pipe.name}{_off_text(c)}" for c in found.nearest]
        lines += ["Read it again, another way; or put the pipe on your own shelf file."]
    if found.questions:
        lines += ["", "to tell them apart:", f"   {question_text(found.questions[0].what)}"]
    if found.findings:
        lines += ["", *(hazard_text(f) for f in found.findings)]
    return "\n".join(lines)


def reading_text(reading: Reading) -> str:
    """``outside 0.875 in (22.2 mm) from the string around, read as "2.75 in"``. [in, mm]"""
    how = f" {TOOL[reading.tool]}" if reading.tool else ""
    within = "+-" if reading.limit is not None else "one sigma"
    sure = reading.sigma if reading.limit is None else reading.limit
    return (
        f"{reading.what} {_inches(reading.value)}{how} "
        f'({within} {sure / INCH:.3f} in), read as "{reading.text}"'
    )


def group_name(group: Group) -> str:
    """``1-1/4 in iron pipe size`` or ``1 in insert polyethylene SIDR 9``."""
    tail = f" {group.schedule}" if group.schedule else ""
    return f"{size_name(group.size)} {SYSTEM.get(group.system, group.system)}{tail}"


def question_text(what: str) -> str:
    """The question as it is put to a person."""
    return QUESTIONS[what]


def hazard_text(found: Finding) -> str:
    """One caution, with its mark."""
    return f"{MARK[found.weight]} {HAZARDS[found.code]}"


def _readings(found: Identified) -> list[Reading]:
    clues = found.clues
    return [r for r in (clues.outside, clues.wall, clues.bore) if r is not None]


def _group_lines(number: int, group: Group) -> list[str]:
    lines = [f"{number}. {group_name(group)}{_off_text(group.candidates[0])}"]
    by_material: dict[str, list[Candidate]] = {}
    for c in group.candidates:
        by_material.setdefault(c.pipe.material, []).append(c)
    for material, members in by_material.items():
        said = ", ".join(_member(c, group) for c in members)
        lines.append(f"   {MATERIAL.get(material, material)}: {said}")
    return lines


def _member(c: Candidate, group: Group) -> str:
    plain = c.pipe.schedule
    name = f"schedule {plain}" if plain.isdigit() else plain
    name = f"type {plain}" if c.pipe.material == "copper" else name
    wall = f"wall {c.pipe.wall.low / INCH:.3f}-{c.pipe.wall.high / INCH:.3f}"
    doubt = ", ".join((*(() if c.fits else ("a stretch",)), *(f"not its {a}" for a in c.against)))
    return f"{name} ({wall}{'; ' + doubt if doubt else ''})"


def _off_text(c: Candidate) -> str:
    od = c.pipe.od
    return (
        f": outside {od.low / INCH:.3f} to {od.high / INCH:.3f} in, "
        f"off by {c.off / INCH:+.3f} in ({abs(c.sigmas):.1f} sigma)"
    )


def _inches(length: float) -> str:
    return f"{length / INCH:.3f} in ({length * 1000:.1f} mm)"
