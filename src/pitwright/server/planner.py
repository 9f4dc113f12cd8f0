"""Zones planned, and resumed, in a process of their own; each kept until what matters changes."""

from __future__ import annotations

import hashlib
import multiprocessing
import threading
from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from pitwright.errors import PitwrightError
from pitwright.pages.going import Pair
from pitwright.pages.standing import Planned, Zoned
from pitwright.planning import ZonePlan, planned_zone, put_together
from pitwright.resuming import Stage, ZoneResumed, zone_resumed
from pitwright.survey.pit import Survey
from pitwright.survey.progress import ZoneProgress
from pitwright.survey.zones import Zone

__all__ = ["Planner", "key_of", "resumed_key"]

MOST_KEPT = 256
"""Zones whose plans are kept. [-]"""
PATIENCE = 0.45
"""An answer waits so long before it shows progress instead. [s]"""


def key_of(survey: Survey, zone: Zone) -> str:
    """What a zone's plan depends on: its own readings, the box, and where its neighbours lie.

    Another zone's pipe, condition and name change nothing here; its tip and first straight do.
    """
    own = (zone.inlet, zone.outlet)
    near = [
        (s.tip.mean, s.outward, s.pipe.name if s.pipe else "", s.bare[:1] if s.bare else ())
        for s in survey.stubs
        if s.id not in own
    ]
    valve = [v for v in survey.valves if v.name == zone.valve]
    parts = (
        zone,
        [s for s in survey.stubs if s.id in own],
        near,
        valve,
        survey.box,
        survey.obstacles,
        survey.parts,
        survey.preferences,
        survey.conditions,
        survey.water,
        survey.existing,
    )
    return hashlib.sha256(repr(parts).encode("utf-8", "replace")).hexdigest()


@dataclass(frozen=True, slots=True)
class _ToPlan:
    """A zone to plan, in a survey that asks for it alone."""

    survey: Survey
    zone: Zone

    def done(self) -> ZonePlan:
        return planned_zone(self.survey, self.zone)


@dataclass(frozen=True, slots=True)
class _ToResume:
    """A stage of a zone's work to go on from."""

    stage: Stage
    noted: ZoneProgress
    again: Pair

    def done(self) -> ZoneResumed:
        return zone_resumed(self.stage, self.noted, self.again)


_Job = _ToPlan | _ToResume
_Done = ZonePlan | ZoneResumed | str
"""What came of a job; a text is why nothing did, empty where it was stopped."""


def resumed_key(survey: Survey, zone: Zone, asked: str) -> str:
    """What the answer to a question about resumed work depends on."""
    return hashlib.sha256(f"{key_of(survey, zone)}\n{asked}".encode("utf-8", "replace")).hexdigest()


def _work(line: Connection) -> None:
    """The worker: a job in, what came of it or a mistake's words out, until the line ends."""
    while True:
        try:
            job: _Job = line.recv()
        except (EOFError, OSError, KeyboardInterrupt):
            return
        try:
            line.send(job.done())
        except PitwrightError as mistake:
            line.send(str(mistake))
        except Exception as broken:
            line.send(f"the plan broke off ({type(broken).__name__})")


class Planner:
    """Does one job after the other in a worker that can be stopped; keeps what is done."""

    def __init__(self) -> None:
        self._done: OrderedDict[str, _Done] = OrderedDict()
        self._wanted: OrderedDict[str, _Job] = OrderedDict()
        self._now = ""
        self._change = threading.Condition()
        self._process: BaseProcess | None = None
        self._line: Connection | None = None
        self._closed = False
        self._thread = threading.Thread(target=self._run, name="planner", daemon=True)
        self._thread.start()

    def planned(self, survey: Survey, patience: float = PATIENCE) -> Planned:
        """The zones of a survey; those not ready within ``patience`` [s] are being worked out."""
        zones = [(z, key_of(survey, z)) for z in survey.zones if z.planned]
        with self._change:
            for zone, key in zones:
                if key not in self._done and key != self._now:
                    alone = replace(survey, zones=(zone,), text="", findings=())
                    self._wanted.setdefault(key, _ToPlan(alone, zone))
            self._change.notify_all()
            self._change.wait_for(lambda: all(k in self._done for _, k in zones), patience)
            found = tuple(_zoned(zone, self._done.get(key)) for zone, key in zones)
        plans = [z.plan for z in found if z.plan is not None]
        if len(plans) < len(found) or not found:
            return Planned(found)
        renamed = tuple(replace(p, zone=z) for p, (z, _) in zip(plans, zones, strict=True))
        return Planned(found, put_together(survey, renamed))

    def resumed(
        self, key: str, stage: Stage, noted: ZoneProgress, again: Pair, patience: float = PATIENCE
    ) -> ZoneResumed | str | None:
        """How a zone goes on from a stage, under the name ``key``; None when it is not ready within
        ``patience`` [s], a text when it was stopped (empty) or broke off.
        """
        with self._change:
            if key not in self._done and key != self._now:
                self._wanted.setdefault(key, _ToResume(stage, noted, again))
                self._change.notify_all()
            self._change.wait_for(lambda: key in self._done, max(0.0, patience))
            got = self._done.get(key)
        return None if isinstance(got, ZonePlan) else got

    def stop(self, survey: Survey) -> None:
        """Give up what is not ready of a survey; it is said so until it is asked for again."""
        self.give_up([key_of(survey, z) for z in survey.zones if z.planned])

    def give_up(self, keys: Sequence[str]) -> None:
        """Give up what is not ready of these; it is said so until it is asked for again."""
        with self._change:
            for key in keys:
                self._wanted.pop(key, None)
                if key not in self._done:
                    self._keep(key, "")
            if self._now in keys:
                self._now = ""  # what comes back of it no longer counts
                self._put_down()
            self._change.notify_all()

    def again(self, survey: Survey) -> None:
        """Ask again for what was stopped or broke off."""
        self.ask_again([key_of(survey, zone) for zone in survey.zones])

    def ask_again(self, keys: Sequence[str]) -> None:
        """Ask again for what of these was stopped or broke off."""
        with self._change:
            for key in keys:
                if isinstance(self._done.get(key), str):
                    del self._done[key]

    def close(self) -> None:
        """End the worker."""
        with self._change:
            self._closed = True
            process = self._put_down()
            self._change.notify_all()
        if process is not None:
            process.join(2)

    def _put_down(self) -> BaseProcess | None:
        """Kill the worker there is and forget it: the next zone gets a new one. Holds the lock."""
        process, self._process, self._line = self._process, None, None
        if process is not None:
            process.kill()
        return process

    def _keep(self, key: str, what: _Done) -> None:
        self._done[key] = what
        while len(self._done) > MOST_KEPT:
            self._done.popitem(last=False)

    def _run(self) -> None:
        while True:
            with self._change:
                self._change.wait_for(lambda: bool(self._wanted) or self._closed)
                if self._closed:
                    return
                key, job = self._wanted.popitem(last=False)
                self._now = key
            got = self._ask(key, job)
            with self._change:
                if self._now == key:
                    self._now = ""
                    self._keep(key, got)
                self._change.notify_all()

    def _ask(self, key: str, job: _Job) -> _Done:
        line = None
        try:
            line = self._worker(key)
            if line is None:
                return ""
            line.send(job)
            got = line.recv()
        except (EOFError, OSError):
            with self._change:
                if self._line is line:
                    self._put_down()
            return ""
        return got if isinstance(got, ZonePlan | ZoneResumed | str) else ""

    def _worker(self, key: str) -> Connection | None:
        """The line to a worker that lives, for as long as ``key`` is still wanted."""
        with self._change:
            if self._process is not None and self._process.is_alive():
                return self._line if self._now == key else None
        context = multiprocessing.get_context("spawn")
        ours, theirs = context.Pipe()
        process = context.Process(target=_work, args=(theirs,), daemon=True)
        process.start()
        theirs.close()
        with self._change:
            self._process, self._line = process, ours
            if self._closed:
                self._put_down()
            return ours if self._now == key and not self._closed else None


def _zoned(zone: Zone, got: _Done | None) -> Zoned:
    if got is None or isinstance(got, ZoneResumed):
        return Zoned(zone.id, zone.name, "working")
    if isinstance(got, str):
        return Zoned(zone.id, got or zone.name, "broken" if got else "stopped")
    return Zoned(zone.id, zone.name, "ready", replace(got, zone=zone))
