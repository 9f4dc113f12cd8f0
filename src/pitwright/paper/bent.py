"""Old pipe as closing a train bends it, drawn larger than life so that a reader can see it. [m]

The movement of the bare path comes from the closing; here it is only enlarged, by a factor that the
caption states.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

from pitwright.geometry.vector import Vec, add, dot, norm, scale
from pitwright.paper.camera import Camera
from pitwright.paper.found import as_found, outside_diameter
from pitwright.paper.scene import Bent, Scene
from pitwright.renewal.bending import Bowed, bowed
from pitwright.renewal.option import Option
from pitwright.survey.pit import Survey
from pitwright.survey.zones import Zone

__all__ = ["FACTORS", "enlarged", "in_full", "lines_of", "shown_in"]

FACTORS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)
_SEEN = 0.4
"""A view that shows less than this share of a movement does not tell it. [-]"""


def lines_of(survey: Survey, zone: Zone, option: Option) -> tuple[Bowed, ...]:
    """The bare paths that the option's closing bends; none below its least share. [m]"""
    if not option.bending.judged.bends:
        return ()
    stubs = option.stubs_of(survey)
    return bowed(survey, stubs, option.cuts, option.bending)


def in_full(scene: Scene, survey: Survey, option: Option, lines: Sequence[Bowed]) -> Scene:
    """The scene with every stub that bends drawn along its whole bare path, tape and all. [m]"""
    cuts = {work.stub: work.cut for work in option.works}
    whole = {p.name: p for p in as_found(survey, cuts, tail=float("inf")).pipes}
    names = {f"stub {line.stub}" for line in lines}
    pipes = (replace(whole[p.name], zone=p.zone) if p.name in names else p for p in scene.pipes)
    return replace(scene, pipes=tuple(pipes))


def shown_in(lines: Sequence[Bowed], camera: Camera) -> tuple[Bowed, ...]:
    """The lines whose bending this view tells. [-]"""
    return tuple(line for line in lines if _share(line, camera) >= _SEEN)


def enlarged(
    scene: Scene, survey: Survey, shown: Sequence[Bowed], camera: Camera
) -> tuple[Scene, int]:
    """The scene with bent lines, enlarged so that the largest leaves its pipe in this view.

    Also by how many times; 0 where nothing is left to see. [-]
    """
    most = max((_across(shift, camera) for line in shown for _, shift in line.line), default=0.0)
    if most <= 0.0:
        return scene, 0
    od = max(outside_diameter(survey.stub(line.stub)) for line in shown)
    by = next((f for f in FACTORS if f * most >= od), 0)
    drawn = tuple(
        Bent(tuple(add(point, scale(shift, by)) for point, shift in line.line))
        for line in (shown if by else ())
    )
    return replace(scene, bent=drawn), by


def _across(shift: Vec, camera: Camera) -> float:
    """How much of a movement the view shows. [m]"""
    return hypot(dot(shift, camera.right), dot(shift, camera.up))


def _share(line: Bowed, camera: Camera) -> float:
    """The same for the largest movement of a line, as a share of it. [-]"""
    far = max((shift for _, shift in line.line), key=norm)
    return _across(far, camera) / norm(far) if norm(far) > 0.0 else 0.0
