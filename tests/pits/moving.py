"""The same survey turned about plumb, or seen in the looking glass: stubs, walls and obstacles."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from pitwright.geometry.vector import Vec, turned
from pitwright.survey.box import Bounds, Box
from pitwright.survey.obstacles import Obstacle
from pitwright.survey.pit import Survey
from pitwright.survey.readings import Located
from pitwright.survey.stubs import Stub

UP = (0.0, 0.0, 1.0)
Move = Callable[[Vec], Vec]


def turned_survey(survey: Survey, degrees: float) -> Survey:
    """The pit turned about plumb, to the left when looking down."""
    angle = math.radians(degrees)
    box = replace(survey.box, turn=survey.box.turn + angle)
    return _moved(survey, lambda v: turned(v, UP, angle), box)


def mirrored_survey(survey: Survey) -> Survey:
    """Left and right exchanged."""
    box = survey.box
    walls = [_glass(b) for b in (box.mouth, box.bottom, box.soil)]
    mouth, bottom, soil = walls
    there = replace(box, mouth=mouth, bottom=bottom, soil=soil, turn=-box.turn)
    return _moved(survey, lambda v: (-v[0], v[1], v[2]), there)


def _glass(bounds: Bounds) -> Bounds:
    return replace(
        bounds,
        least=(-bounds.most[0], bounds.least[1]),
        most=(-bounds.least[0], bounds.most[1]),
        centre=(-bounds.centre[0], bounds.centre[1]),
    )


def _moved(survey: Survey, move: Move, box: Box) -> Survey:
    def located(at: Located) -> Located:
        return replace(at, mean=move(at.mean))

    def stub(one: Stub) -> Stub:
        bare = tuple(replace(s, direction=move(s.direction)) for s in one.bare)
        return replace(one, tip=located(one.tip), outward=move(one.outward), bare=bare)

    def obstacle(one: Obstacle) -> Obstacle:
        return replace(one, starts=located(one.starts), ends=located(one.ends))

    return replace(
        survey,
        box=box,
        stubs=tuple(stub(s) for s in survey.stubs),
        obstacles=tuple(obstacle(o) for o in survey.obstacles),
    )
