"""Existing valves and fittings: which stay, which may go, what can turn."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.survey.inside import Inside, read_inside
from pitwright.survey.readings import Located, Reading
from pitwright.survey.section import Section

__all__ = ["FATES", "KINDS_OF_EXISTING", "Existing", "read_existing"]

FATES = ("stays", "may go", "goes")
KINDS_OF_EXISTING = (
    "valve", "adapter", "tee", "elbow", "coupling", "union", "shut-off", "bushing", "cap", "other",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Existing:
    """A valve or fitting that lies there: its fate, whether it can turn, its sizes [m].

    ``inside`` is what a look under a valve's bonnet showed, None when nobody looked.
    """

    name: str
    kind: str
    zone: str
    fate: str
    turns: bool
    size: str
    body: Reading | None
    swing_with_bonnet: Reading | None
    swing_without: Reading | None
    at: Located | None
    note: str
    inside: Inside | None = None


def read_existing(name: str, section: Section) -> Existing:
    """One section [existing.name]. Raises BadInput. SI."""

    def length(key: str) -> Reading | None:
        return section.reading(key, low=0.0, high=1.0)

    inside = section.sub("inside", "existing.*.inside")
    return Existing(
        name,
        section.choice("kind", KINDS_OF_EXISTING, None),
        section.text("zone"),
        section.choice("fate", FATES, None),
        section.flag("turns", False),
        section.text("size"),
        length("body"),
        length("swing"),
        length("swing_bare"),
        section.located("at", "") if section.has("at") else None,
        section.text("note"),
        read_inside(inside) if inside else None,
    )
