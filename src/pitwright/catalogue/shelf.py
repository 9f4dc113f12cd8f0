"""The shelf itself: looked up by name or by what is needed, built once from ``data``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from pitwright.catalogue.building import build_fittings, build_pipes, build_threads
from pitwright.catalogue.derived import derive
from pitwright.catalogue.naming import likely
from pitwright.catalogue.parts import Fitting, FittingPort, Pipe
from pitwright.catalogue.rules import slips_of
from pitwright.catalogue.tables import Tables, load_tables, sources
from pitwright.catalogue.threads import Thread
from pitwright.errors import UnknownName
from pitwright.findings import Finding

__all__ = ["Shelf", "derived_tables", "joins", "load_shelf", "size_name"]

_MIXED = re.compile(r"(?<![\d/])(\d+)\s+(\d+/\d+)(?!\d)")
_WORDS = re.compile(r"[^\s,()\"]+")
_SAME_WORD = {
    "sch": "schedule",
    "sched": "schedule",
    "inch": "in",
    "inches": "in",
    "upvc": "pvc",
    "pvc-u": "pvc",
    "polyethylene": "pe",
    "poly": "pe",
    "galvanized": "galvanised",
    "iron": "ips",
}
_SILENT = {"in", "pipe", "size", "tube", "the", "a", "of"}


@dataclass(frozen=True, slots=True)
class Shelf:
    """Every pipe, fitting and thread that may be planned with, in a fixed order.

    ``slips`` are rows of the tables that break a rule of the shelf and are kept with a warning.
    ``sources`` says what each source key stands for.
    """

    pipes: tuple[Pipe, ...]
    fittings: tuple[Fitting, ...]
    threads: tuple[Thread, ...]
    sources: Mapping[str, str]
    slips: tuple[Finding, ...] = ()
    _pipe_by_word: dict[tuple[str, ...], Pipe] = field(
        default_factory=dict, compare=False, repr=False
    )
    _part_by_word: dict[tuple[str, ...], Fitting] = field(
        default_factory=dict, compare=False, repr=False
    )

    def pipe(self, name: str, where: str = "pipe") -> Pipe:
        """The pipe of that id or name, however it is spelt ("1 1/4 sch 40 PVC", "1 in class 200").

        Raises UnknownName with those it can mean, else the nearest names; ``where`` is the key it
        came from. Source: the shelf's own tables.
        """
        if not self._pipe_by_word:
            for pipe in self.pipes:
                self._pipe_by_word[_words(pipe.name)] = pipe
                self._pipe_by_word[_words(pipe.id)] = pipe
        found = self._pipe_by_word.get(_words(name))
        if found is not None:
            return found
        meant = likely(self.pipes, name)
        if meant.sure and len(meant.pipes) == 1:
            return meant.pipes[0]
        known = [p.name for p in self.pipes] + [p.id for p in self.pipes]
        raise UnknownName(where, name, known, "pipe", meant=[p.name for p in meant.pipes])

    def part(self, name: str, where: str = "part") -> Fitting:
        """The fitting of that id or name. Raises UnknownName. Source: the shelf."""
        if not self._part_by_word:
            for part in self.fittings:
                self._part_by_word[_words(part.name)] = part
                self._part_by_word[_words(part.id)] = part
        found = self._part_by_word.get(_words(name))
        if found is not None:
            return found
        known = [f.id for f in self.fittings] + [f.name for f in self.fittings]
        raise UnknownName(where, name, known, "part")

    def fitting(
        self, kind: str, size: str, angle_deg: float | None = None, schedule: str = "40"
    ) -> Fitting | None:
        """The first fitting of a kind, size, angle [deg] and schedule, or None.

        An angle of None takes the kind's first (a 90 for an elbow). Source: the shelf.
        """
        for f in self.fittings:
            if (f.kind, f.size, f.schedule) == (kind, size, schedule) and (
                angle_deg is None or f.angle_deg == angle_deg
            ):
                return f
        return None

    def find(
        self,
        *,
        kind: str | None = None,
        size: str | None = None,
        schedule: str | None = None,
        angle_deg: float | None = None,
    ) -> tuple[Fitting, ...]:
        """Every fitting that answers to all that is given (angle in [deg]). Source: the shelf."""
        return tuple(
            f
            for f in self.fittings
            if (kind is None or f.kind == kind)
            and (size is None or f.size == size)
            and (schedule is None or f.schedule == schedule)
            and (angle_deg is None or f.angle_deg == angle_deg)
        )

    def thread(self, system: str, size: str) -> Thread:
        """The thread of a system ("npt", "bsp") and size. Raises UnknownName; source: the shelf."""
        for thread in self.threads:
            if (thread.system, thread.size) == (system, size):
                return thread
        known = [f"{t.system} {t.size}" for t in self.threads]
        raise UnknownName("thread", f"{system} {size}", known, "thread")

    def joined_by(self, pipe: Pipe) -> tuple[Fitting, ...]:
        """Every fitting with a port that takes this pipe's plain end. Source: the shelf."""
        return tuple(f for f in self.fittings if any(joins(pipe, p) for p in f.ports))


def joins(pipe: Pipe, port: FittingPort) -> bool:
    """Whether a port takes the plain end of this pipe: kind of joint, sizes and system agree.

    Source: the ``joints`` column of ``data/pipe.csv``.
    """
    return port.joint in pipe.joints and (port.system, port.size) == (pipe.system, pipe.size)


def size_name(size: str) -> str:
    """``1-1/4 in`` or ``25 mm`` for a size as the shelf writes it. Source: the shelf."""
    return size if size.endswith("mm") else f"{size} in"


def _words(name: str) -> tuple[str, ...]:
    """The telling words of a name in one order, so that spelling and order do not matter."""
    text = _MIXED.sub(r"\1-\2", name.casefold()).replace("″", "").replace('"', "")
    text = re.sub(r"\b(sch|schedule|sdr|sidr)\.?\s*-?\s*(?=\d)", r"\1 ", text)
    words = (_SAME_WORD.get(w, w) for w in _WORDS.findall(text))
    return tuple(sorted(w for w in words if w not in _SILENT))


@cache
def derived_tables() -> Tables:
    """The built-in tables with what follows from them, read once. [m] Raises BrokenShelf.

    Source: each row's own key.
    """
    tables = load_tables()
    derive(tables)
    return tables


@cache
def load_shelf() -> Shelf:
    """The built-in shelf, read once. Raises BrokenShelf. [m] Source: each row's own key."""
    tables = derived_tables()
    threads = build_threads(tables)
    pipes = build_pipes(tables)
    fittings = build_fittings(tables, threads)
    slips = slips_of(pipes, fittings, tables)
    return Shelf(pipes, fittings, threads, sources(), slips)
