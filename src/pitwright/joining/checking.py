"""A second opinion on the steps of an assembly, by code that had no part in finding them.

It takes the work and the steps alone, puts the train together in thought, one step after the
other, and says what it objects to. Only the types are shared with the search.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from pitwright.flex.compliance import Vec6, stations, tip_compliance
from pitwright.geometry.pose import Pose, facing
from pitwright.geometry.vector import Vec, add, norm, scale, sub
from pitwright.joining.assembly import Assembly, Step
from pitwright.joining.work import StubSide, Work
from pitwright.jointing.question import CementedJoint
from pitwright.jointing.times import JointTimes, joint_times
from pitwright.trains.cut_list import Bend, Piece, Where
from pitwright.trains.rows import Body
from pitwright.units.kinds import INCH

__all__ = ["Objection", "objections"]

_SAME = 1e-6
_SAME_SOCKETS = INCH / 32
_LATEST = 20.0
"""From the last coat to bottomed, any size and weather. [s] [ASTM-D2855], from memory"""
_STAYS = "socket"
"""The end way of a socket that stays with its stub: no joint to be made."""
_BELOW = INCH / 2
"""A relief end's mouth lies at least so much below what is glued. Judgement. [m]"""
_CLAMPED = ("gripped", "transition")


@dataclass(frozen=True, slots=True)
class Objection:
    """What is wrong, at which step (counted from 0; -1: the assembly as a whole)."""

    code: str
    step: int


def objections(work: Work, assembly: Assembly) -> tuple[Objection, ...]:
    """Everything this checker objects to, in the order of the steps; empty when nothing. [s, m]

    Source: the rules of putting in, told again: common practice, no source.
    """
    before = assembly.first
    rest = replace(assembly, steps=assembly.steps[before:], first=0)
    told = (
        *_every_joint(work, rest),
        *_before_cement(rest),
        *_cuts(work, rest),
        *_cement(work, rest),
        *_let_out(work, rest),
        *_put_together(work, rest),
    )
    later = (replace(o, step=o.step + before) if o.step >= 0 else o for o in told)
    return (*_clock(assembly), *_set_first(work, assembly), *later)


def _set_first(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """A shut-off that is set first: cut after a check, no cement on its feed but after a stop that
    saw it dry, set and closed before anything else, which must be dry behind it."""
    steps = assembly.steps[: assembly.first]
    if not steps:
        return
    if steps[-1].code != "shut_closed" or work.sides[0].seeps > 0.0:
        yield Objection("NOT_SHUT_FIRST", -1)
    set_at = 0.0
    for n, step in enumerate(steps):
        if step.joints:
            yield Objection("JOINT_BEFORE_SHUT", n)
        checked = step.stop and steps[n - 1].code == "check_before_cut"
        if step.code in ("cut_stub", "cut_out") and not checked:
            yield Objection("CUT_UNCHECKED", n)
        if _glued(step):
            set_at = max(set_at, dict(step.numbers)["set_at"])
            if step.where is Where.PIT and (steps[n - 1].code, steps[n - 1].stop) != (
                "still_dry",
                True,
            ):
                yield Objection("NOT_SEEN_DRY", n)
    if steps[-1].starts < set_at - _SAME:
        yield Objection("SHUT_BEFORE_SET", len(steps) - 1)


def _clock(assembly: Assembly) -> Iterator[Objection]:
    at = 0.0
    for n, step in enumerate(assembly.steps):
        if not at - _SAME <= step.starts <= step.free <= step.ends:
            yield Objection("CLOCK_BACK", n)
        at = step.ends
    cured = [dict(s.numbers)["cured_at"] for s in assembly.steps if _glued(s)]
    if max(cured, default=0.0) > assembly.water_on + _SAME:
        yield Objection("WATER_TOO_SOON", -1)


def _glued(step: Step) -> bool:
    return "last_coat" in dict(step.numbers)


def _every_joint(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """Each joint once; those at the stubs in the pit. A socket that stays is no joint to make."""
    made = [j for step in assembly.steps for j in step.joints]
    last = len(work.cuts.items)
    wanted = set(range(last + 1))
    for n, item in ((0, work.cuts.items[0]), (last, work.cuts.items[-1])):
        if isinstance(item, Body) and item.name.endswith("stub socket"):
            wanted.discard(n)
    if sorted(made) != sorted(wanted):
        yield Objection("JOINTS_MISSING_OR_TWICE", -1)
    for n, step in enumerate(assembly.steps):
        if step.where is Where.BENCH and {0, last} & set(step.joints):
            yield Objection("STUB_ON_BENCH", n)
    if tuple(s.joints for s in assembly.steps if s.joints) != assembly.order:
        yield Objection("ORDER_NOT_TOLD", -1)


def _before_cement(assembly: Assembly) -> Iterator[Objection]:
    """Threads, cuts, the dry fit and the proof of flow come before any cement; only what is set on
    the bench may be turned as one afterwards."""
    glued = False
    seen: set[str] = set()
    loose = 0.0  # until then, what was cemented may not be turned
    for n, step in enumerate(assembly.steps):
        if _glued(step):
            glued = True
            if not {"dry_fit"} <= seen or not {"prove_flow", "prove_arrow"} & seen:
                yield Objection("NOT_PROVED_FIRST", n)
            pit = step.where is Where.PIT
            loose = max(loose, math.inf if pit else dict(step.numbers)["set_at"])
        if glued and step.code in ("make_up_unit", "cut_piece", "cut_stub"):
            yield Objection("AFTER_CEMENT", n)
        if step.code == "screw_on" and step.starts < loose - _SAME:
            yield Objection("AFTER_CEMENT", n)
        seen.add(step.code)


def _cuts(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """Every cut of a stub is a stop, with its check right before it and its joint after it."""
    last = len(work.cuts.items)
    off = (work.cuts.inlet_cut, work.cuts.outlet_cut)
    for side, cut, joint in zip(work.sides, off, (0, last), strict=True):
        at = [
            n
            for n, s in enumerate(assembly.steps)
            if s.code == "cut_stub" and s.name("stub") == side.name
        ]
        if len(at) != (cut > 0.0):
            yield Objection("CUTS_MISSING_OR_TWICE", -1)
        for n in at:
            before = assembly.steps[n - 1]
            checked = n > 0 and before.code == "check_before_cut"
            if not assembly.steps[n].stop or not checked or before.name("stub") != side.name:
                yield Objection("CUT_UNCHECKED", n)
            if any(joint in s.joints for s in assembly.steps[:n]):
                yield Objection("CUT_TOO_LATE", n)


def _cement(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """No cement where it may not be, bottomed in time, and the set time counted in full."""
    last = len(work.cuts.items)
    ways = work.train.skeleton.ways
    for n, step in enumerate(assembly.steps):
        if step.code == "grip_joint":
            ends = [w.name for w, j in zip(ways, ({0, 1}, {last, last - 1}), strict=True)
                    if set(step.joints) <= j]  # fmt: skip
            if not set(ends) & set(_CLAMPED):
                yield Objection("GRIPS_NOTHING", n)
        if not _glued(step):
            continue
        numbers = dict(step.numbers)
        if not 0.0 < numbers["bottom_by"] <= _LATEST:
            yield Objection("BOTTOMED_TOO_LATE", n)
        for joint in step.joints:
            times = joint_times(_question(work, assembly, joint, step.where is Where.BENCH))
            if not isinstance(times, JointTimes):
                yield Objection("CEMENT_FORBIDDEN", n)
            elif numbers["set_at"] < numbers["last_coat"] + times.set.seconds - _SAME:
                yield Objection("SET_TOO_SHORT", n)
            elif numbers["cured_at"] < numbers["last_coat"] + times.cure.seconds - _SAME:
                yield Objection("CURE_TOO_SHORT", n)
            elif step.free < numbers["last_coat"] + times.working.hand_hold - _SAME:
                yield Objection("HANDS_OFF_TOO_SOON", n)


def _question(work: Work, assembly: Assembly, joint: int, bench: bool) -> CementedJoint:
    if bench:
        return replace(work.cement, wet=False, wet_after=None)
    asked = work.cement
    for side in work.sides:
        if side.seeps > 0.0 and _touches(work, side, joint):
            if _runs_off(work, assembly, side):
                asked = replace(asked, humid=True)
            elif side.wet_after is None:
                asked = replace(asked, wet=True)
            elif asked.wet_after is None or side.wet_after < asked.wet_after:
                asked = replace(asked, wet_after=side.wet_after)
    return asked


def _touches(work: Work, side: StubSide, joint: int) -> bool:
    last = len(work.cuts.items)
    inner = [1 if w.name in ("socket", "threaded") else 0 for w in work.train.skeleton.ways]
    return joint <= inner[0] if side is work.sides[0] else joint >= last - inner[1]


def _runs_off(work: Work, assembly: Assembly, side: StubSide) -> bool:
    """Whether its relief end lies below everything glued, and lets out twice what comes. [m³/s]"""
    poses = list(_walk(work))
    heights = [poses[j].at[2] for s in assembly.steps if _glued(s) for j in s.joints]
    if side.relief is None or not heights:
        return False
    wet = min(heights) - work.outside / 2
    mouth = side.relief.height + side.relief.bore / 2
    area = math.pi * (side.relief.bore / 2) ** 2
    jet = (2 * 9.81 * max(0.0, wet - side.relief.height)) ** 0.5
    return wet - mouth >= _BELOW - _SAME and 0.6 * area * jet >= 2 * side.seeps * (1 - _SAME)


def _let_out(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """Where cement relies on a relief end: looked at and opened before any cut, a stop right before
    the cement, closed when all is cured and before water."""
    for side in work.sides:
        if side.seeps <= 0.0 or not _runs_off(work, assembly, side):
            continue
        steps = [(n, s) for n, s in enumerate(assembly.steps)]
        mine = [(n, s.code) for n, s in steps if dict(s.names).get("stub") == side.name]
        opened = [n for n, code in mine if code == "open_relief"]
        closed = [n for n, code in mine if code == "close_relief"]
        if len(opened) != 1 or (opened[0] - 1, "check_relief") not in mine:
            yield Objection("RELIEF_NOT_OPENED", -1)
            continue
        for n, step in steps:
            if step.code == "cut_stub" and n < opened[0]:
                yield Objection("CUT_BEFORE_RELIEF", n)
            if not _glued(step) or step.where is Where.BENCH:
                continue
            watched = {m for m, code in mine if code == "still_dry" and assembly.steps[m].stop}
            near = any(_touches(work, side, j) for j in step.joints)
            if near and not {n - 1, n - 2} & watched:
                yield Objection("NOT_SEEN_DRY", n)
        cured = [dict(s.numbers)["cured_at"] for _, s in steps if _glued(s)]
        on = next((n for n, s in steps if s.code == "water_on"), -1)
        late = closed and assembly.steps[closed[0]].starts < max(cured) - _SAME
        if len(closed) != 1 or closed[0] > on or late:
            yield Objection("RELIEF_NOT_CLOSED", -1)


def _put_together(work: Work, assembly: Assembly) -> Iterator[Objection]:
    """One step after the other: what hangs together, and the push that joins both stubs."""
    count = len(work.cuts.items) + 2
    union = next((n for n, i in enumerate(work.cuts.items, 1) if _named(i) == "union"), None)
    whole = list(range(count + 1))  # the last node is a union's other half

    def group(node: int) -> int:
        while whole[node] != node:
            node = whole[node]
        return node

    if union is None or assembly.giver != "union":
        union = None
    for way, j in zip(work.train.skeleton.ways, (0, count - 2), strict=True):
        if way.name == _STAYS:
            whole[group(j)] = group(j + 1)
    closed = -1
    set_at = 0.0
    for n, step in enumerate(assembly.steps):
        if step.code == "close_union" and union is not None:
            whole[group(union)] = group(count)
        apart = group(0) != group(count - 1)
        for j in step.joints:
            left = count if j == union else j
            whole[group(left)] = group(j + 1)
        now = group(0) == group(count - 1)
        if step.where is Where.PIT and (step.joints or step.code == "close_union"):
            if closed >= 0 and step.code not in ("draw_out", "slide_back", "slide_and_grip"):
                yield Objection("JOINT_AFTER_LAST", n)
            closes = now and (apart or step.code == "close_union")
            loads = closes and assembly.giver in ("flex", "union", "parallel sockets")
            if step.code != "screw_on" and step.starts < _bench_set(assembly) - _SAME:
                yield Objection("BENCH_NOT_SET", n)
            if loads and step.starts < set_at - _SAME:
                yield Objection("LOADED_BEFORE_SET", n)
            if closes:
                closed = n
                yield from _closing(work, assembly, n)
        if _glued(step):
            set_at = max(set_at, dict(step.numbers)["set_at"])
    if closed < 0:
        yield Objection("NEVER_CLOSED", -1)


def _bench_set(assembly: Assembly) -> float:
    bench = [s for s in assembly.steps if s.where is Where.BENCH and _glued(s)]
    return max((dict(s.numbers)["set_at"] for s in bench), default=0.0)


def _named(item: object) -> str:
    return str(getattr(item, "name", ""))


def _closing(work: Work, assembly: Assembly, number: int) -> Iterator[Objection]:
    """The last push: dry where a stub runs, and its opening really there."""
    step = assembly.steps[number]
    for side in (s for s in work.sides if s.seeps > 0.0):
        near = any(_touches(work, side, j) for j in step.joints)
        if _glued(step) and (near or not _runs_off(work, assembly, side)):
            yield Objection("CEMENT_LAST_ON_SEEP", number)
    give = [i.give for i in work.cuts.items if isinstance(i, Body)]
    if assembly.giver in ("telescoping", "stop-less"):
        if max(give, default=0.0) <= 0.0:
            yield Objection("NOTHING_SLIDES", number)
        return
    poses = list(_walk(work))
    demand: Vec = (0.0, 0.0, 0.0)
    for j in step.joints:
        demand = add(demand, scale(poses[j].z, _depth(work, j)))
    if assembly.giver == "parallel sockets":
        if norm(demand) > _SAME_SOCKETS or len(step.joints) != 2:
            yield Objection("NOT_PARALLEL", number)
        return
    if assembly.spread is None:
        yield Objection("OPENING_UNPROVED", number)
        return
    if step.code != "close_union":
        at = poses[step.joints[0]].at
        yield from _sprung(work, assembly, number, at, demand, poses)


def _sprung(
    work: Work, assembly: Assembly, number: int, at: Vec, demand: Vec, poses: list[Pose]
) -> Iterator[Objection]:
    """Both wrenches put on again: do they open the joint, and does every section bear it?"""
    proof = assembly.spread
    assert proof is not None
    there, short = _moved(work.sides[1], proof.outlet, at, work.hands)
    here, other = _moved(work.sides[0], proof.inlet, at, work.hands)
    if short or other:
        yield Objection("SPREAD_TOO_HARD", number)
    opened = sub(there, here)
    last = len(work.cuts.items)
    backs = [scale(poses[j].z, _depth(work, j)) for j in (0, 1, last - 1, last)]
    allowed = [demand, *(add(demand, back) for back in backs)]
    if min(norm(sub(opened, want)) for want in allowed) > _SAME_SOCKETS:
        yield Objection("NOT_OPENED", number)


def _moved(side: StubSide, wrench: Vec6, at: Vec, hands: float) -> tuple[Vec, bool]:
    if side.path is None:
        return (0.0, 0.0, 0.0), norm((wrench[0], wrench[1], wrench[2])) > 0.0
    give = tip_compliance(side.path, at)
    x, y, z = (sum(c * w for c, w in zip(row, wrench, strict=True)) for row in give[:3])
    strain = max(s.strain(wrench) for s in stations(side.path, at))
    force = math.hypot(*wrench[:3])
    hard = strain > side.strain * (1.0 + _SAME) or force > hands * (1.0 + _SAME)
    return (x, y, z), hard


def _walk(work: Work) -> Iterator[Pose]:
    """Poses along the train by its bends' clocking alone, z downstream."""
    inlet = work.sides[0]
    pose = _on(facing(inlet.tip, inlet.outward), -work.cuts.inlet_cut)
    yield pose
    for item in work.cuts.items:
        if isinstance(item, Bend):
            c, s = math.cos(item.angle), math.sin(item.angle)
            lean = Pose((c, 0.0, -s), (0.0, 1.0, 0.0), (s, 0.0, c), (0.0, 0.0, 0.0))
            pose = _on(_on(pose, item.before).rolled(item.clock) @ lean, item.after)
        else:
            pose = _on(pose, item.length)
        yield pose


def _on(pose: Pose, by: float) -> Pose:
    return replace(pose, at=add(pose.at, scale(pose.z, by)))


def _depth(work: Work, joint: int) -> float:
    """How deep what meets here goes in: a piece says so itself."""
    items = work.cuts.items
    pair = (items[joint - 1] if joint else None, items[joint] if joint < len(items) else None)
    if isinstance(pair[1], Piece):
        return pair[1].depth_before
    if isinstance(pair[0], Piece):
        return pair[0].depth_after
    skeleton, found = work.train.skeleton, 0.0
    for n, item in enumerate(pair):
        if isinstance(item, Bend):
            corners = [i for i in items if isinstance(i, Bend)]
            corner = skeleton.corners[corners.index(item)]
            found = max(found, (corner.after, corner.before)[n].depth)
        elif _named(item) == "valve" and skeleton.unit is not None:
            found = max(found, (skeleton.unit.depth_after, skeleton.unit.depth_before)[n])
        elif isinstance(item, Body):
            side = 0 if item.name.startswith("inlet") else 1
            coupler = skeleton.ways[side].coupler
            if coupler is not None:
                found = max(found, coupler.stub_side.depth)
    return found
