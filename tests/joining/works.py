"""The work of an option, made from its survey: what a planner hands to joining."""

from __future__ import annotations

from dataclasses import replace

from pitwright.closing.ends import FlexEnd
from pitwright.findings import Refusal
from pitwright.flex.limits import hand_force, strain_limit
from pitwright.geometry.clearance import Capsule
from pitwright.geometry.vector import Vec
from pitwright.joining.work import StubSide, Swing, Work
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.renewal.bending import flex_end
from pitwright.renewal.job import new_size
from pitwright.renewal.option import Option
from pitwright.renewal.surroundings import room_for
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.bench import new_pipe
from pitwright.units.kinds import CELSIUS_ZERO

ROOM = CELSIUS_ZERO + 23.0
DAY = CementedJoint("1", Warmth.of(ROOM), pressure=0.0)


def side_of(survey: Survey, stub: Stub, cut: float, extra: float = 0.0) -> StubSide:
    end = flex_end(survey, stub, cut, extra)
    limit = strain_limit(stub.pipe.material, stub.condition, ROOM) if stub.pipe else None
    strain = limit.momentary if limit and not isinstance(limit, Refusal) else 0.0
    return StubSide(
        stub.id,
        stub.tip.mean,
        stub.outward,
        stub.pipe.od.value if stub.pipe else 0.0334,
        end.path if isinstance(end, FlexEnd) else None,
        strain,
        seeps=stub.seeps or 0.0,
    )


def work_of(survey: Survey, option: Option) -> Work:
    zone = next(z for z in survey.zones if z.id == option.zone)
    stubs = (survey.stub(zone.inlet), survey.stub(zone.outlet))
    size = new_size(survey, zone, stubs)
    pipe = new_pipe(survey.shelf, size)
    assert pipe is not None
    valve = survey.valve(zone.valve) if zone.valve else None
    dug = dict(option.bending.dug.stubs) if option.bending.dug and not option.bending.closes else {}
    cuts = option.cuts
    sides = (
        side_of(survey, stubs[0], cuts.inlet_cut, dug.get(stubs[0].id, 0.0)),
        side_of(survey, stubs[1], cuts.outlet_cut, dug.get(stubs[1].id, 0.0)),
    )
    return Work(
        option.train,
        cuts,
        sides,
        room_for(survey, stubs, pipe, valve),
        replace(DAY, size=size),
        pipe.od.value,
        hand_force(),
        survey.preferences.play,
        swing=Swing(
            valve.swing_with_bonnet.value if valve and valve.swing_with_bonnet else None,
            valve.swing_without.value if valve and valve.swing_without else None,
        ),
    )


def mirrored(work: Work) -> Work:
    """The same work seen in a mirror that swaps left and right; its cut list is not touched."""

    def m(v: Vec) -> Vec:
        return (-v[0], v[1], v[2])

    def side(s: StubSide) -> StubSide:
        path = replace(s.path, points=tuple(m(p) for p in s.path.points)) if s.path else None
        return replace(s, tip=m(s.tip), outward=m(s.outward), path=path)

    train = replace(work.train, directions=tuple(m(d) for d in work.train.directions))
    room = replace(
        work.room,
        walls=tuple(replace(w, normal=m(w.normal)) for w in work.room.walls),
        obstacles=tuple(Capsule(m(o.a), m(o.b), o.radius, o.name) for o in work.room.obstacles),
    )
    return replace(work, train=train, sides=(side(work.sides[0]), side(work.sides[1])), room=room)
