"""Trains judged one by one: cut to the tape's marks, put in, closed, and so made options."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from pitwright.findings import Finding, Short, Weight, finding
from pitwright.joining.digging import to_bare
from pitwright.renewal.bending import bending
from pitwright.renewal.ground import soil_notes
from pitwright.renewal.job import Job, new_size
from pitwright.renewal.option import Option, StubWork
from pitwright.renewal.proving import put_together, work_of
from pitwright.renewal.putting_in import cannot_be_put_in, sliding_cautions
from pitwright.renewal.rounding import best_marks
from pitwright.renewal.surroundings import girth_of
from pitwright.survey.pit import Survey
from pitwright.survey.stubs import Stub
from pitwright.trains.bench import new_pipe
from pitwright.trains.cut_list import Bend
from pitwright.trains.kit import TELESCOPING, Girth
from pitwright.trains.kitting import unmeasured
from pitwright.trains.room import Laid, solids
from pitwright.trains.rows import Body
from pitwright.trains.search import order
from pitwright.trains.train import Train

__all__ = ["Job", "Judged", "judge", "new_size", "stub_work"]

_MOST_KEPT = 8
_MOST_TRIED = 160
"""So many trains of a zone are bent in thought, in the search's own order. [-]"""
_MOST_SLIDING_TRIED = 40
"""So many with a body that slides. [-]"""
_MOST_OF_ONE_KIND = 2
_MOST_STUCK = 6
"""So many of a kind that close are asked whether they can be put in before the kind is left. [-]"""
_MOST_DUG_FOR = 3
"""Digging is worked out for the nearest misses of a kind that does not close without. [-]"""
_Kind = tuple[bool, bool, tuple[float, ...]]
"""Whether a telescoping or a stop-less coupling slides, and the bends. [rad]"""


@dataclass(frozen=True, slots=True)
class Judged:
    """The options kept, what stopped the other trains, and whether some were never judged."""

    options: tuple[Option, ...]
    shorts: tuple[Short, ...]
    cut_short: bool


def judge(
    job: Job,
    found: Sequence[Train],
    *,
    put_in: bool = False,
    first: bool = False,
    bare: bool = True,
) -> Judged:
    """At most two options of a kind (a sequence of bends), one where a body slides, that close as
    the pit lies, or the one that closes after the least digging where the kind has none. With
    ``put_in`` only such as can be put in, too; with ``first`` no more than one, as the pit lies.
    ``bare`` asks how much digging would let in what closes and cannot be put in. [m, rad]

    Source: docs/decisions/0005.
    """
    options: list[Option] = []
    shorts: list[Short] = []
    failed: dict[_Kind, list[tuple[float, int, Train]]] = {}
    closing: Counter[_Kind] = Counter()
    stuck: Counter[_Kind] = Counter()
    unasked = False
    near: list[tuple[float, Option]] = []
    glued = [train for train in found if not train.skeleton.slides]
    sliding = [train for train in found if train.skeleton.slides]
    for train in (*glued[:_MOST_TRIED], *sliding[:_MOST_SLIDING_TRIED]):
        if first and options:
            break
        kind = _kind(train)
        if closing[kind] >= _most_of(train) or len(options) >= _MOST_KEPT:
            continue
        option = _option(job, train, dig=False)
        if isinstance(option, Short):
            shorts.append(option)
            failed.setdefault(kind, []).append((option.missed, len(shorts), train))
            continue
        if stuck[kind] >= _MOST_STUCK:
            unasked = True
            continue
        whole = put_together(job, option) if put_in else option
        if isinstance(whole, Option):
            options.append(whole)
            closing[kind] += 1
        else:
            shorts += whole
            stuck[kind] += 1
            near.append((min(s.missed for s in whole), option))
    if first:
        return Judged(tuple(options), tuple(shorts), cut_short=True)
    for kind, misses in failed.items():
        if not closing[kind] and len(options) < _MOST_KEPT:
            nearest = [train for _, _, train in sorted(misses, key=lambda m: m[:2])]
            dug, more = _least_dug(job, nearest[:_MOST_DUG_FOR], put_in=put_in)
            options += dug
            shorts += more
    if bare and not options and near:
        shorts += _bare_to_put_in(job, [o for _, o in sorted(near, key=lambda n: n[0])])
    cut_short = unasked or bool(glued[_MOST_TRIED:] or sliding[_MOST_SLIDING_TRIED:])
    return Judged(tuple(options), tuple(shorts), cut_short)


def _least_dug(
    job: Job, nearest: Sequence[Train], *, put_in: bool
) -> tuple[list[Option], list[Short]]:
    """The one of these that closes after the least digging, and what stopped the others. [m]"""
    closes: list[Option] = []
    shorts: list[Short] = []
    for train in nearest:
        option = _option(job, train, dig=True)
        if isinstance(option, Short):
            continue
        whole = put_together(job, option) if put_in else option
        if isinstance(whole, Option):
            closes.append(whole)
        else:
            shorts += whole
    closes.sort(key=lambda o: (round(o.digging, 4), order(o.train)))
    return closes[:1], shorts


def _bare_to_put_in(job: Job, near: Sequence[Option]) -> Iterator[Short]:
    """How much digging would let the nearest misses in. [m]"""
    for option in near[:_MOST_DUG_FOR]:
        yield from to_bare(work_of(job, option))


def _kind(train: Train) -> _Kind:
    ways = train.skeleton.ways
    drawn = any(way.name == TELESCOPING for way in ways)
    pushed = any(way.slides and way.name != TELESCOPING for way in ways)
    return drawn, pushed, tuple(c.bend for c in train.skeleton.corners)


def _most_of(train: Train) -> int:
    return 1 if train.skeleton.slides else _MOST_OF_ONE_KIND


def _option(job: Job, train: Train, *, dig: bool) -> Option | Short:
    survey, zone, stubs, ends = job.survey, job.zone, job.stubs, job.ends
    facing = [(e.tip, e.outward) for e in ends]
    most_cut = [way.cut for way in train.skeleton.ways]
    got = best_marks(train, facing, survey.preferences.gap, most_cut)
    label = train.skeleton.label
    if got is None:
        return Short("ROUNDING", zone.id, 0.0, 1.0, 1.0, "1", "other_bends", label)
    cuts, built = got
    stuck = cannot_be_put_in(survey, stubs, train, cuts)
    if stuck is not None:
        return stuck
    bent = bending(survey, stubs, cuts, dig=dig)
    if isinstance(bent, Short):
        return replace(bent, tried=label)
    names = [p for i in cuts.items if isinstance(i, Body | Bend) for p in i.parts]
    rests_on = [p for piece in cuts.pieces for p in piece.rests_on]
    pipe = new_pipe(survey.shelf, new_size(survey, zone, stubs))
    valve = survey.valve(zone.valve) if zone.valve else None
    laid = Laid(train.lengths, train.share)
    girth = girth_of(survey.shelf, pipe, valve) if pipe else Girth(0.0, 0.0)
    return Option(
        zone.id,
        "cut in",
        train,
        cuts,
        built,
        tuple(Counter(_name(survey, n) for n in names).items()),
        pipe.name if pipe else "pipe",
        sum(p.length for p in cuts.pieces),
        (
            stub_work(stubs[0], cuts.inlet_cut, train, 0),
            stub_work(stubs[1], cuts.outlet_cut, train, 1),
        ),
        bent,
        tuple(solids(train.directions, train.rows, ends[0].tip, laid, girth)),
        (
            *unmeasured(survey.shelf, rests_on),
            *_cautions(stubs),
            *soil_notes(survey, stubs),
            *sliding_cautions(survey.shelf, stubs, train, cuts),
        ),
    )


def _name(survey: Survey, part: str) -> str:
    return next((f.name for f in survey.shelf.fittings if f.id == part), part)


def stub_work(stub: Stub, cut: float, train: Train, side: int) -> StubWork:
    """What comes off a stub for a train, and the straight that is left behind its joint. [m]

    ``side`` is 0 for the inlet. Source: the depth of what takes the stub.
    """
    if not stub.bare:
        return StubWork(stub.id, cut, None)
    way, skeleton = train.skeleton.ways[side], train.skeleton
    if way.coupler is not None:
        held = way.coupler.stub_side.depth
    elif skeleton.unit is not None and skeleton.valve_leg == (0, train.bends)[side]:
        held = (skeleton.unit.depth_before, skeleton.unit.depth_after)[side]
    elif not skeleton.corners:
        other = skeleton.ways[1 - side].coupler
        held = other.new_side.depth if other else 0.0
    else:
        corner = skeleton.corners[(0, -1)[side]]
        held = (corner.before, corner.after)[side].depth
    return StubWork(stub.id, cut, max(0.0, stub.bare[0].length - cut - held))


def _cautions(stubs: Sequence[Stub]) -> tuple[Finding, ...]:
    """What these very stubs ask to be careful about."""
    found: list[Finding] = []
    for stub in stubs:
        if stub.seeps:
            numbers = {"flow": stub.seeps}
            found.append(
                finding("stub_seeps", Weight.STOP, numbers=numbers, names={"stub": stub.id})
            )
        if stub.condition in ("old", "sun-struck", "chalky"):
            names = {"stub": stub.id, "condition": stub.condition}
            found.append(finding("old_pipe", Weight.CHECK, names=names))
    return tuple(found)
