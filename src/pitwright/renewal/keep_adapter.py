"""Spin off and keep one adapter: the old valve is screwed off a thread that stays, the new one on.

The valve's own thread goes onto the kept one, so its unit has one adapter, on the other side. A
valve that must face up on a kept thread stops only once a turn: its length is known to half a
pitch either way.
"""

from __future__ import annotations

import math
from dataclasses import replace

from pitwright.catalogue.parts import JointKind
from pitwright.findings import Short
from pitwright.survey.stubs import Stub
from pitwright.survey.valves import ValveBody
from pitwright.trains.bench import NEW_SCHEDULE, TURNS_PAST_HAND_TIGHT, Bench
from pitwright.trains.kit import EndWay, Kit, Unit
from pitwright.trains.train import Train

__all__ = ["SPUN_ON", "is_spun", "spun_kit", "spun_unit"]

SPUN_ON = "spun on"
"""The name of an end way where the valve itself is screwed to the stub's thread."""


def spun_kit(bench: Bench, kit: Kit, stubs: tuple[Stub, Stub], valve: ValveBody) -> Kit | Short:
    """The kit of a zone whose valve goes straight onto the one male thread that stays. [m]

    Source: the shelf.
    """
    males = [n for n, s in enumerate(stubs) if s.end is JointKind.MALE_THREAD]
    fits = [
        n
        for n in males
        if stubs[n].end_size == valve.size and valve.joint is JointKind.FEMALE_THREAD
    ]
    if not males:
        return Short("NO_THREAD", "both stubs", 0.0, 1.0, 1.0, "1", "say_thread", "no adapter kept")
    if len(fits) != 1:
        have = float(len(fits))
        size = valve.size
        return Short("OTHER_THREAD", stubs[males[0]].id, have, 1.0, 1.0, "1", "other_valve", size)
    side = fits[0]
    unit = spun_unit(bench, valve, side)
    if unit is None:
        return Short("NO_THREAD", stubs[side].id, 0.0, 1.0, 1.0, "1", "part_for_stub", valve.size)
    on = (EndWay(SPUN_ON, 0.0),)
    ends = (on, kit.ends_b) if side == 0 else (kit.ends_a, on)
    return replace(kit, ends_a=ends[0], ends_b=ends[1], unit=unit, union=None)


def is_spun(train: Train) -> bool:
    """Whether the valve itself sits on the kept thread. Source: its ends."""
    last = train.bends
    on = [n for n, way in zip((0, last), train.skeleton.ways, strict=True) if way.name == SPUN_ON]
    return train.skeleton.valve_leg in on


def spun_unit(bench: Bench, valve: ValveBody, side: int) -> Unit | None:
    """The valve with one adapter, from the kept thread's tip to the socket's bottom. [m]

    The body less what its thread swallows of the kept tip, plus the adapter's lay less its own
    thread; each thread stops 1 to 2 turns past hand-tight. Source: ASME-B1.20.1 for the thread;
    common practice for the turns, no source.
    """
    adapter = bench.shelf.fitting("adapter male", valve.size, schedule=NEW_SCHEDULE)
    if adapter is None:
        return None
    thread = bench.shelf.thread("npt", valve.size)
    made = thread.made_up(TURNS_PAST_HAND_TIGHT)
    lays = [p.takeout for p in adapter.ports]
    lay = valve.adapter.value if valve.adapter else sum(d.value for d in lays)
    lay_within = 0.0 if valve.adapter else sum(d.high - d.low for d in lays) / 2
    within = math.hypot(
        math.sqrt(3.0) * valve.length.sigma.one, lay_within, thread.pitch / math.sqrt(2.0)
    )
    depth = adapter.ports[0].depth.value
    depths = (0.0, depth) if side == 0 else (depth, 0.0)
    named = f"valve {valve.name}"
    length = valve.length.value - made + lay - made
    return Unit(length, *depths, valve.tilt_limit, (named, adapter.id), within, (named, adapter.id))
