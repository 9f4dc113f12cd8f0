"""What holds a stub's bare path where it goes into the soil: a clamp, or ground that gives."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pitwright.findings import Finding, SourceKey, Weight, finding
from pitwright.flex.soil import foundation
from pitwright.geometry.vector import add, scale
from pitwright.survey.pit import Survey
from pitwright.survey.soil import CLAMP
from pitwright.survey.stubs import Stub

__all__ = ["Ground", "ground", "soil_notes"]


@dataclass(frozen=True, slots=True)
class Ground:
    """The soil's name ("" for a modulus that was told), how stiff it is [N/m²], how deep the bare
    path ends below the ground [m], and where the figure is from.
    """

    soil: str
    stiffness: float
    depth: float
    source: SourceKey
    status: str


def ground(survey: Survey, stub: Stub) -> Ground | None:
    """What the soil behind a stub gives back, None where it is taken to clamp the pipe. [N/m²]

    What is said of the stub wins over what is said of the whole pit. Source: the survey;
    flex.soil for soils in words.
    """
    if stub.glued is not None:
        return ground(survey, stub.glued.old)
    told = stub.soil or (survey.conditions.soil if survey.conditions else None)
    if told is None or told.kind == CLAMP:
        return None
    end = stub.tip.mean
    for straight in stub.bare:
        end = add(end, scale(straight.direction, straight.length))
    depth = survey.box.grade.value - end[2]
    if told.modulus is not None:
        return Ground("", told.modulus.value, depth, SourceKey("survey"), "told")
    found = foundation(told.kind, depth)
    return Ground(told.kind, found.value, depth, found.source, found.status)


def soil_notes(survey: Survey, stubs: Sequence[Stub]) -> Iterator[Finding]:
    """That soil was taken to give, for each stub where it was. [N/m², m] Source: the survey."""
    for stub in stubs:
        held = ground(survey, stub)
        if held is not None:
            yield finding(
                "soil_gives",
                Weight.NOTE,
                numbers={"stiffness": held.stiffness, "depth": held.depth},
                names={"stub": stub.id, "soil": held.soil, "status": held.status},
                source=held.source,
            )
