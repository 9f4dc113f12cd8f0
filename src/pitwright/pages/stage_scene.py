"""The pit as it is built: what each train left standing, and the newest one. [m]"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pitwright.closing.rebuild import rebuilt
from pitwright.geometry.vector import add
from pitwright.pages.scenes import plan_as_chosen
from pitwright.pages.standing import Pit
from pitwright.paper.built import together
from pitwright.paper.found import as_found
from pitwright.paper.pit_sheet import plan_scene
from pitwright.paper.scene import Fitting, Scene
from pitwright.planning import Load, Plan, ZonePlan, as_chosen
from pitwright.renewal.from_glued import with_stubs, without_bodies
from pitwright.renewal.option import Option
from pitwright.resuming import Base, Stage
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.survey.zones import Zone
from pitwright.trains.cut_list import CutList, Piece

__all__ = ["built_scene", "plan_now", "root_of", "stage_plan"]

_TAIL = 0.1
"""So much of each stub is drawn, as on the pit sheet. [m]"""
_LEAST_CUT = 1e-4
"""Less than this off a stub is drawn as no cut. [m]"""
_OF_A_VALVE = 3
"""A valve is drawn as itself and its two adapters. [-]"""


def root_of(stub: Stub, cut: float) -> tuple[Stub, float]:
    """The old pipe under a stub, and what came off it; the stub itself while nothing stands on it.

    ``cut`` [m] comes off the stub now. Source: none needed.
    """
    glued = stub.glued
    while glued is not None:
        stub, cut, glued = glued.old, glued.cut, glued.old.glued
    return stub, cut


def stage_plan(stage: Stage, option: Option | None = None) -> Plan:
    """A stage as a plan of its one zone, with ``option`` (as built, say) in the first place."""
    zone = ZonePlan(stage.zone, (option or stage.option,))
    return Plan(stage.survey, (zone,), Load((), ()), ())


def plan_now(pit: Pit) -> Plan | None:
    """The whole plan as the work stands: as chosen, and as resumed where it was. [m]

    None before it is worked out, and while a resumed zone is. Source: each zone's newest stage.
    """
    plan = plan_as_chosen(pit)
    if plan is None or any(g.status != "ready" for g in pit.goings):
        return None
    survey, zones = plan.survey, list(plan.zones)
    for number, zone in enumerate(plan.zones):
        going = pit.going(str(zone.zone.id))
        if going is None or not going.begun:
            continue
        stage = going.stage
        inlet, outlet = (stage.survey.stub(s) for s in (stage.root.inlet, stage.root.outlet))
        survey = with_stubs(survey, stage.root, (inlet, outlet), stage.zone)
        glued = (o for o in stage.survey.obstacles if o not in survey.obstacles)
        survey = replace(survey, obstacles=(*survey.obstacles, *glued))
        zones[number] = ZonePlan(stage.zone, stage.options)
    return as_chosen(replace(plan, survey=survey, zones=tuple(zones)), {})


def built_scene(survey: Survey, built: Sequence[tuple[Stage, Option]]) -> Scene:
    """The pit with what stands of every stage built in, the newest with its option. [m]

    ``survey`` is the pit as measured first. Source: the cut lists, walked from the stubs.
    """
    now, off = survey, dict[str, float]()
    for stage, option in built:
        stubs = option.stubs_of(stage.survey)
        ends = (option.cuts.inlet_cut, option.cuts.outlet_cut)
        roots = [root_of(stub, cut) for stub, cut in zip(stubs, ends, strict=True)]
        now = with_stubs(now, stage.root, (roots[0][0], roots[1][0]))
        off |= {str(stub.id): cut for stub, cut in roots}
    parts = [part for stage, option in built for part in _parts(stage, option)]
    return together([as_found(now, off, tail=_TAIL), *parts])


def _parts(stage: Stage, option: Option) -> Iterator[Scene]:
    """What each train of a zone adds to the pit: those before, as far as they stand, and this."""
    for base in stage.bases:
        cuts, (inlet, outlet) = base.option.cuts, base.held
        count = len(cuts.items)
        if inlet:
            yield _some(_train(stage.survey, stage.root, base), cuts, range(inlet))
        if outlet:
            turned = _from_outlet(base)
            yield _some(
                _train(stage.survey, stage.root, turned), cuts, range(count - outlet, count)
            )
    newest = _only_built(plan_scene(stage_plan(stage, option)))
    stubs = option.stubs_of(stage.survey)
    ends = zip(stubs, (option.cuts.inlet_cut, option.cuts.outlet_cut), strict=True)
    old = [stub.glued is None for stub, off in ends if off > _LEAST_CUT]
    shown = tuple(c for c, keep in zip(newest.cuts, old, strict=True) if keep)
    yield replace(newest, cuts=shown)


def _train(survey: Survey, zone: Zone, base: Base) -> Scene:
    """A train left standing, whole. [m]"""
    alone = with_stubs(without_bodies(survey, base.stubs[0]), zone, base.stubs)
    return plan_scene(Plan(alone, (ZonePlan(zone, (base.option,)),), Load((), ()), ()))


def _from_outlet(base: Base) -> Base:
    """The same begun so that it ends on its outlet stub, where it is glued."""
    inlet, outlet = base.stubs
    ends = ((s.tip.mean, s.outward) for s in (inlet, outlet))
    way, _ = rebuilt(base.option.cuts, *ends)
    moved = replace(inlet, tip=replace(inlet.tip, mean=add(inlet.tip.mean, way)))
    option = replace(base.option, between=None)
    return replace(base, option=option, stubs=(moved, outlet))


def _only_built(scene: Scene) -> Scene:
    """Without the pit as it was found."""
    pipes = tuple(p for p in scene.pipes if p.name.startswith("piece "))
    return replace(
        scene, pipes=pipes, walls=None, ground=None, obstacles=(), north=None, north_words=""
    )


def _some(scene: Scene, cuts: CutList, items: range) -> Scene:
    """Of a train those items (from 0), without letters and sizes: it stands already. [m]"""
    built = _only_built(scene)
    pieces = {
        f"piece {i.letter}" for n, i in enumerate(cuts.items) if isinstance(i, Piece) and n in items
    }
    joints = tuple(j for n, j in enumerate(built.joints) if n in items or n - 1 in items)
    pipes = tuple(replace(p, letter="", words="") for p in built.pipes if p.name in pieces)
    return replace(
        built,
        pipes=pipes,
        fittings=tuple(_fittings(built, cuts, items)),
        joints=joints,
        dimensions=(),
    )


def _fittings(scene: Scene, cuts: CutList, items: range) -> Iterator[Fitting]:
    """The fittings of those items: every item but a piece is one, a valve is three. [-]"""
    left = iter(scene.fittings)
    for number, item in enumerate(cuts.items):
        if isinstance(item, Piece):
            continue
        for _ in range(_OF_A_VALVE if getattr(item, "name", "") == "valve" else 1):
            fitting = next(left, None)
            if fitting is not None and number in items:
                yield fitting
