"""Parts on the truck and in the shop, with the person's own take-outs where they measured them."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Missing
from pitwright.survey.readings import Reading
from pitwright.survey.section import Section

__all__ = ["OwnPart", "read_part"]


@dataclass(frozen=True, slots=True)
class OwnPart:
    """One kind of part at hand: take-out and socket depth as measured [m], None when not."""

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


def read_part(name: str, section: Section) -> OwnPart:
    """One section [part.name]. Raises Missing and those of a reading. SI; ``angle`` in degrees."""
    for key, example in (("kind", "elbow"), ("size", "1")):
        if not section.text(key):
            raise Missing(section.at(key), f'write it as "{example}"')
    return OwnPart(
        name,
        section.text("kind"),
        section.text("size"),
        section.number("angle", 0.0, 90.0) or 0.0,
        section.text("schedule", "40"),
        section.reading("takeout", low=0.0, high=0.5),
        section.reading("depth", low=0.0, high=0.5),
        section.count("count", 0, 10_000, 1),
        section.choice("where", ("truck", "shop"), "truck"),
        section.text("note"),
    )
