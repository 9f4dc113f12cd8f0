"""The last two questions about an option: can it be put in, and how sure is it to close."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import lru_cache

from pitwright.catalogue.parts import JointKind
from pitwright.closing.ends import FlexEnd, between
from pitwright.findings import Refusal, Short
from pitwright.flex.limits import hand_force, strain_limit
from pitwright.joining.checking import objections
from pitwright.joining.putting_in import put_in
from pitwright.joining.work import Relief, StubSide, Swing, Work
from pitwright.jointing.asked import joint_under
from pitwright.jointing.question import CementedJoint, Warmth
from pitwright.renewal.bending import flex_end, rigid_train, runs_into_soil
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.mouth import let_down
from pitwright.renewal.old_valve import spun_off
from pitwright.renewal.option import Option
from pitwright.renewal.surroundings import room_for
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.tolerance.bearing import Bears
from pitwright.tolerance.doubting import doubt_of
from pitwright.trains.bench import PRESSURE, TURNS_PAST_HAND_TIGHT, new_pipe
from pitwright.units.kinds import CELSIUS_ZERO

__all__ = ["finished", "put_together", "relief_of", "warmth_known", "work_of"]

_AGED = ("old", "sun-struck", "chalky")
_ROOM = CELSIUS_ZERO + 23.0
"""Where nobody read any temperature. Judgement. [K]"""


def put_together(job: Job, option: Option) -> Option | tuple[Short, ...]:
    """The option with the order and steps of its joints, or why it cannot be put in. [m, s]

    Steps that code with no part in finding them objects to are never shown.

    Source: :func:`~pitwright.joining.putting_in.put_in`.
    """
    work = work_of(job, option)
    got = put_in(work)
    if isinstance(got, Refusal):
        return got.because
    wrong = objections(work, got)
    if wrong:
        step, label = float(wrong[0].step + 1), option.train.skeleton.label
        where = f"step {step:.0f}: {wrong[0].code}"
        return (Short("OBJECTED", where, 0.0, 1.0, 1.0, "1", "other_bends", label),)
    return replace(option, assembly=got, findings=(*option.findings, *got.findings))


def finished(job: Job, option: Option) -> Option:
    """The option that is shown: with its chances of closing, as it lies when it is closed (after
    digging), and whether what the bench makes passes the mouth of the box. [m]

    Source: :func:`~pitwright.tolerance.doubting.doubt_of`,
    :func:`~pitwright.renewal.mouth.let_down`.
    """
    doubt = doubt_of(option.train, option.cuts, job.stubs, _bears(job, option))
    made = option.assembly
    let = let_down(job.survey.box, work_of(job, option), made) if made is not None else ()
    return replace(option, doubt=doubt, findings=(*option.findings, *let))


def work_of(job: Job, option: Option) -> Work:
    """What joining must know about an option: stubs after their cuts and digging, and the day.

    A stub takes what it may bear for a moment. [m, N, K] Source: the survey.
    """
    survey, zone, stubs = job.survey, job.zone, job.stubs
    size = new_size(survey, zone, stubs)
    pipe = new_pipe(survey.shelf, size)
    valve = survey.valve(zone.valve) if zone.valve else None
    assert pipe is not None  # an option was made of it
    dug = _dug(option)
    inlet, outlet = (
        _side(survey, stub, cut, dug.get(stub.id, 0.0))
        for stub, cut in zip(stubs, (option.cuts.inlet_cut, option.cuts.outlet_cut), strict=True)
    )
    threaded = valve is not None and valve.joint is JointKind.FEMALE_THREAD
    swings = (valve.swing_with_bonnet, valve.swing_without) if valve else (None, None)
    room = room_for(survey, stubs, pipe, valve)
    return Work(
        option.train,
        option.cuts,
        (inlet, outlet),
        room,
        _cement(survey, size),
        pipe.od.value,
        hand_force(),
        survey.preferences.play,
        survey.shelf.thread("npt", valve.size) if valve and threaded else None,
        Swing(*(s.value if s else None for s in swings)),
        old=spun_off(survey, zone, stubs, room.girth.valve),
    )


def _dug(option: Option) -> dict[str, float]:
    dug = option.bending.dug
    return {} if dug is None or option.bending.closes else {str(k): v for k, v in dug.stubs}


def _side(survey: Survey, stub: Stub, cut: float, extra: float) -> StubSide:
    end = flex_end(survey, stub, cut, extra)
    pipe = stub.pipe
    threaded = stub.end in (JointKind.MALE_THREAD, JointKind.FEMALE_THREAD)
    made = (
        survey.shelf.thread("npt", stub.end_size).made_up(TURNS_PAST_HAND_TIGHT)
        if threaded
        else 0.0
    )
    return StubSide(
        stub.id,
        stub.tip.mean,
        stub.outward,
        pipe.od.value if pipe else 0.0,
        end.path if isinstance(end, FlexEnd) else None,
        _momentary(survey, stub),
        stub.bare[0].length - cut + extra * (len(stub.bare) == 1) if stub.bare else None,
        stub.seeps or 0.0,
        threaded=threaded,
        engagement=made,
        runs_on=runs_into_soil(stub),
        brittle=pipe is not None and _brittle(stub.condition, pipe.hazards),
        relief=relief_of(stub),
    )


def _brittle(condition: str, hazards: Sequence[str]) -> bool:
    """Whether a squeezing blade may crack it. Source: common practice, no source."""
    return condition in _AGED or "thin wall" in hazards


def relief_of(stub: Stub) -> Relief | None:
    """The relief end that lets a stub's water out, as joining asks. [m] Source: the survey."""
    end = stub.relief
    return Relief(end.mouth.mean[2], end.bore) if end is not None else None


def _momentary(survey: Survey, stub: Stub) -> float:
    warm = survey.conditions.pipe.value if survey.conditions and survey.conditions.pipe else _ROOM
    if stub.pipe is None:
        return 0.0
    return _bears_for_a_moment(stub.pipe.material, stub.condition, warm)


@lru_cache(maxsize=64)
def _bears_for_a_moment(material: str, condition: str, warm: float) -> float:
    got = strain_limit(material, condition, warm)
    return 0.0 if isinstance(got, Refusal) else got.momentary


def warmth_known(survey: Survey) -> bool:
    """Whether air, pipe or ground was read. Source: the survey."""
    day = survey.conditions
    return day is not None and any((day.air, day.pipe, day.ground))


def _cement(survey: Survey, size: str) -> CementedJoint:
    read = survey.water.static if survey.water else None
    pressure = read.value if read else PRESSURE
    day = survey.conditions
    if day is not None and warmth_known(survey):
        return joint_under(day, size, pressure=pressure)
    cement = day.cement if day else ""
    return CementedJoint(size, Warmth.of(_ROOM), pressure=pressure, cement=cement)


def _bears(job: Job, option: Option) -> Bears:
    """What stubs, play and seats take up. [m, rad, N]"""
    dug = _dug(option)
    cuts = (option.cuts.inlet_cut, option.cuts.outlet_cut)
    inlet, outlet = (
        flex_end(job.survey, stub, cut, dug.get(stub.id, 0.0))
        for stub, cut in zip(job.stubs, cuts, strict=True)
    )
    ends = between(inlet, outlet, hand_force())
    rigid = rigid_train(job.survey, job.stubs, option.cuts)
    first = rigid.joints[0]
    slides = tuple((s.axis, s.low, s.high) for s in rigid.slides)
    return Bears(ends.at, ends.across, ends.sections, first.play, first.seat, slides)
