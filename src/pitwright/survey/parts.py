"""Parts on the truck and in the shop, with the person's own take-outs where they measured them."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from pitwright.catalogue.naming import plain_size
from pitwright.catalogue.own import with_user_shelf
from pitwright.catalogue.parts import Fitting
from pitwright.catalogue.shelf import Shelf
from pitwright.errors import BadInput, BrokenShelf, Contradiction, Duplicate, Missing, UnknownName
from pitwright.survey.lines import path_of
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section
from pitwright.units.inches import Rounding, both_text

__all__ = ["OwnPart", "laid_over", "on_shelf", "read_part"]

_ANGLES = {"elbow": 90.0, "street elbow": 90.0, "tee": 90.0}
"""What such a fitting turns when no angle is written. [deg] Common practice, no source."""


_RULED = {"takeout-too-short": "takeout", "socket-too-shallow": "depth"}
"""Which measurement a rule of the shelf is about."""


@dataclass(frozen=True, slots=True)
class OwnPart:
    """One kind of part at hand: take-out and socket depth as measured [m], None when not; of a
    telescoping coupling its length pushed together and its stroke, of a stop-less one its whole
    length ``overall``.

    ``angle`` is in degrees, 0 for straight bodies.
    """

    name: str
    kind: str
    size: str
    angle: float
    schedule: str
    takeout: Reading | None
    depth: Reading | None
    count: int
    where: str
    note: str
    collapsed: Reading | None = None
    stroke: Reading | None = None
    overall: Reading | None = None

    @property
    def measured(self) -> dict[str, Reading]:
        """Every length of it that was measured. [m]"""
        told = {
            "takeout": self.takeout,
            "depth": self.depth,
            "collapsed": self.collapsed,
            "stroke": self.stroke,
            "overall": self.overall,
        }
        return {key: reading for key, reading in told.items() if reading is not None}


def read_part(name: str, section: Section) -> OwnPart:
    """One section [part.name]. Raises Missing and those of a reading. SI; ``angle`` in degrees."""
    for key, example in (("kind", "elbow"), ("size", "1")):
        if not section.text(key):
            raise Missing(section.at(key), f'write it as "{example}"')
    kind = " ".join(section.text("kind").casefold().split())
    angle = section.number("angle", 0.0, 90.0)
    return OwnPart(
        name,
        kind,
        plain_size(section.text("size")),
        _ANGLES.get(kind, 0.0) if angle is None else angle,
        section.text("schedule", "40"),
        section.reading("takeout", low=0.0, high=0.5),
        section.reading("depth", low=0.0, high=0.5),
        section.count("count", 0, 10_000, 1),
        section.choice("where", ("truck", "shop"), "truck"),
        section.text("note"),
        section.reading("collapsed", low=0.0, high=2.0),
        section.reading("stroke", low=0.0, high=2.0),
        section.reading("overall", low=0.0, high=2.0),
    )


def on_shelf(part: OwnPart, shelf: Shelf) -> Fitting | None:
    """The fitting of the shelf that a part is, or None. Source: the shelf."""
    return shelf.fitting(part.kind, part.size, part.angle, part.schedule)


def laid_over(shelf: Shelf, parts: Iterable[OwnPart]) -> Shelf:
    """The shelf with every measured part in the place of the typical one, both kept visible.

    Raises UnknownName for a measured part that is not on the shelf, Duplicate for one measured
    twice, Contradiction where a measurement breaks a rule that every such fitting obeys.
    """
    measured: dict[str, str] = {}
    for part in parts:
        if not part.measured:
            continue
        where, fitting = path_of("part", part.name), on_shelf(part, shelf)
        if fitting is None:
            said = f"{part.size} {part.kind} {part.angle:g} schedule {part.schedule}"
            raise UnknownName(where, said, _known(shelf, part), "fitting of the shelf")
        if fitting.id in measured:
            other = measured[fitting.id]
            raise Duplicate(where, fitting.name, f'is measured at "{other}" too', "keep one")
        measured[fitting.id] = part.name
        try:
            shelf = with_user_shelf(shelf, _entry(fitting, part), where)
        except BrokenShelf as broken:
            raise _impossible(part, broken) from None
        except BadInput as mistake:
            mistake.where, mistake.file, mistake.line = where, None, None
            for key, reading in part.measured.items():
                if mistake.got == _handed_on(reading):  # told as it was typed
                    mistake.where, mistake.got = path_of("part", part.name, key), reading.text
            raise
    return shelf


def _impossible(part: OwnPart, broken: BrokenShelf) -> Contradiction:
    """A measurement that no such fitting has, told as it was typed, with the limit of the rule."""
    rule = f"must be a fitting that can be: {broken.rule}"
    key = _RULED.get(broken.code, "")
    typed = part.measured.get(key)
    if typed is None:
        return Contradiction(path_of("part", part.name), broken.got, rule, "measure again")
    limit = both_text(broken.limit, Rounding.NOT_SHORTER)
    where = path_of("part", part.name, key)
    return Contradiction(where, typed.text, f"{rule}, here {limit}", "measure again")


def _known(shelf: Shelf, part: OwnPart) -> list[str]:
    """How the fittings of that kind, or all, would have been written."""
    kinds = {f.kind for f in shelf.fittings}
    return [
        f"{f.size} {f.kind} {f.angle_deg:g} schedule {f.schedule}"
        for f in shelf.fittings
        if f.kind == part.kind or part.kind not in kinds
    ]


def _entry(fitting: Fitting, part: OwnPart) -> str:
    """One part as a line of a shelf file, lengths in millimetres."""
    lines = ["[[fitting]]", f'id = "{fitting.id}"', "measured = true"]
    for key, reading in part.measured.items():
        lines.append(f'{key} = "{_handed_on(reading)}"')
    return "\n".join(lines) + "\n"


def _handed_on(reading: Reading) -> str:
    """A reading as the shelf file has it. [mm]"""
    half = reading.sigma.one * math.sqrt(3.0) * 1000
    limits = f" +- {half:.6f} mm" if reading.given else ""
    return f"{reading.value * 1000:.6f} mm{limits}"
