"""Surveys to test with: a small one, changed section by section, and any one turned in plan."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.geometry.vector import Vec, Z, turned
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.readings import Covariance, Located

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples"
GUIDE = ROOT / "docs" / "survey-file.md"
HEADER = re.compile(r"(?m)^\[([^\]\n]+)\]\s*$")


def blocks() -> list[str]:
    """Every toml block of the guide, the whole survey first."""
    return re.findall(r"(?ms)^```toml\n(.*?)^```", GUIDE.read_text(encoding="utf-8"))


SMALL = blocks()[0]
"""The guide's own short survey: every test of a section changes one section of it."""


def sections(text: str) -> dict[str, str]:
    """The text of each section by its header, headers included."""
    starts = [*HEADER.finditer(text)]
    if not starts:
        return {}
    ends = [m.start() for m in starts[1:]] + [len(text)]
    return {m[1]: text[m.start() : end] for m, end in zip(starts, ends, strict=True)}


def changed(fragment: str, base: str = SMALL) -> str:
    """The base with the sections of ``fragment`` in the place of its own."""
    new = sections(fragment)
    kept = [body for head, body in sections(base).items() if head not in new]
    # points stand first: chains may start from them
    return "\n".join([*new.values(), *kept])


def read(text: str) -> Survey:
    return read_survey(text, "pit.toml", load_shelf())


def small(fragment: str = "") -> Survey:
    """The small survey, with some of its sections changed."""
    return read(changed(fragment))


def swapped(old: str, new: str, base: str = SMALL) -> str:
    """The base with one text in the place of another that must be there."""
    assert base.count(old) >= 1, old
    return base.replace(old, new, 1)


def turned_in_plan(survey: Survey, degrees: float) -> Survey:
    """The same pit measured from axes turned by ``degrees`` about the datum, seen from above.

    Everything the engine works with is turned: points, covariances, directions, bare paths,
    obstacles, and the box's own axes. Readings keep their text, which no longer describes it.
    """
    angle = math.radians(degrees)

    def vec(v: Vec) -> Vec:
        return turned(v, Z, angle)

    def located(at: Located) -> Located:
        return replace(at, mean=vec(at.mean), covariance=_covariance(at.covariance, angle))

    stubs = tuple(
        replace(
            s,
            tip=located(s.tip),
            outward=vec(s.outward),
            through=located(s.through) if s.through else None,
            bare=tuple(replace(b, direction=vec(b.direction)) for b in s.bare),
        )
        for s in survey.stubs
    )
    return replace(
        survey,
        stubs=stubs,
        points=tuple((name, located(at)) for name, at in survey.points),
        obstacles=tuple(
            replace(o, starts=located(o.starts), ends=located(o.ends)) for o in survey.obstacles
        ),
        existing=tuple(replace(e, at=located(e.at) if e.at else None) for e in survey.existing),
        box=replace(survey.box, turn=survey.box.turn + angle),
    )


def _covariance(c: Covariance, angle: float) -> Covariance:
    """R C Rᵗ: the columns turned, then the rows."""
    columns = [turned((c[0][j], c[1][j], c[2][j]), Z, angle) for j in range(3)]
    rows = [turned((columns[0][i], columns[1][i], columns[2][i]), Z, angle) for i in range(3)]
    return (rows[0], rows[1], rows[2])
