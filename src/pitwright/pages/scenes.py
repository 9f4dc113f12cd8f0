"""A pit's scene for the screen: as far as it was measured, and as it will be built. [m]"""

from __future__ import annotations

from dataclasses import replace

from pitwright.findings import PitId
from pitwright.geometry.vector import Vec, add, scale
from pitwright.pages.drawing import Spot
from pitwright.pages.standing import Pit, chosen_option
from pitwright.paper.bent import in_full, lines_of
from pitwright.paper.found import as_found
from pitwright.paper.pit_sheet import plan_scene
from pitwright.paper.scene import Bent, Scene
from pitwright.planning import Load, Plan, ZonePlan, as_chosen
from pitwright.renewal.option import Option
from pitwright.survey.box import Bounds, Box
from pitwright.survey.partly import Partly
from pitwright.survey.pit import Survey
from pitwright.survey.preferences import DEFAULTS
from pitwright.survey.readings import Reading
from pitwright.units.kinds import INCH
from pitwright.wording.survey import straight_text

__all__ = [
    "MOST_SHOWN",
    "found_scene",
    "option_scene",
    "plan_as_chosen",
    "spots_of",
    "straights_of",
]


MOST_SHOWN = 60 * INCH
"""So much of a bare path is drawn to scale; what is longer is drawn broken there. [m]"""


MANY = 4
"""More stubs than this make a crowded drawing. [-]"""


def found_scene(pit: Pit, whole: bool = False) -> Scene | None:
    """The pit as it was measured so far; None before the first stub can be drawn. [m]

    ``whole``: every bare straight as long as it was measured.
    """
    partly = pit.partly
    if not partly.stubs:
        return None
    tail = MOST_SHOWN if whole else None
    if partly.survey is not None:
        return as_found(partly.survey, named=False, tail=tail)
    scene = as_found(_as_far(partly, pit), named=False, tail=tail)
    return scene if partly.box is not None else replace(scene, walls=None, ground=None)


def _as_far(partly: Partly, pit: Pit) -> Survey:
    """What was read so far, in the shape of a survey, to be drawn and nothing else."""
    any_reading = partly.stubs[0].tip.readings[0]
    return Survey(
        id=PitId(""),
        name=pit.place.name,
        unit="in",
        downstream=partly.downstream,
        datum="",
        opened="",
        note="",
        box=partly.box or _no_box(any_reading),
        points=(),
        stubs=partly.stubs,
        zones=(),
        valves=(),
        existing=(),
        obstacles=partly.obstacles,
        parts=(),
        conditions=None,
        water=None,
        preferences=DEFAULTS,
        findings=(),
        shelf=pit.shelf,
        text="",
        file="",
    )


def _no_box(reading: Reading) -> Box:
    """Stands where no box was measured; it is not drawn."""
    bounds = Bounds((0.0, 0.0), (0.0, 0.0), (0.0, 0.0), None, ())
    return Box("rectangle", bounds, bounds, bounds, reading, reading, 0.0, None)


def straights_of(pit: Pit) -> tuple[tuple[Vec, str], ...]:
    """Every bare straight in words, at the middle of what is drawn of it. [m]

    Where many stubs lie side by side its length alone is said: the drawing shows the way.
    """
    told: list[tuple[Vec, str]] = []
    short = len(pit.partly.stubs) > MANY
    for stub in pit.partly.stubs:
        at, left = stub.tip.mean, MOST_SHOWN
        for straight in stub.bare:
            seen = min(straight.length, left)
            if seen <= 0.0:
                break
            said = straight_text(straight, way=not short)
            told.append((add(at, scale(straight.direction, seen / 2)), said))
            at, left = add(at, scale(straight.direction, seen)), left - seen
    return tuple(told)


def spots_of(pit: Pit, chosen: str = "") -> tuple[Spot, ...]:
    """Every stub's end, to be tapped. [m]"""
    return tuple(
        Spot(s.tip.mean, s.id, f"{pit.home}/measure?part=stub&name={s.id}#form", s.id == chosen)
        for s in pit.partly.stubs
    )


def plan_as_chosen(pit: Pit) -> Plan | None:
    """The whole plan with what was chosen in the first place of each zone."""
    whole = pit.planned.whole if pit.planned else None
    if whole is None:
        return None
    picked = ((zone.zone.id, chosen_option(pit, zone)) for zone in whole.zones)
    return as_chosen(whole, {name: option for name, option in picked if option is not None})


def option_scene(pit: Pit, zone: ZonePlan, option: Option, bent: bool = False) -> Scene:
    """One zone with one option built in; with ``bent``, old pipe as closing bends it. [m]"""
    survey = pit.partly.survey
    assert survey is not None  # nothing is planned before it is whole
    alone = Plan(survey, (replace(zone, answer=(option,)),), _nothing(pit), ())
    scene = plan_scene(alone).only(str(zone.zone.id))
    if not bent:
        return scene
    lines = lines_of(survey, zone.zone, option)
    drawn = tuple(
        Bent(tuple((p[0] + s[0], p[1] + s[1], p[2] + s[2]) for p, s in line.line)) for line in lines
    )
    return replace(in_full(scene, survey, option, lines), bent=drawn) if lines else scene


def _nothing(pit: Pit) -> Load:

    return Load((), ())
