"""Timing for every benchmark: the quickest and the middle of several rounds."""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Took:
    """Quickest and middle of several rounds by the clock, and the least processor time. [s]

    On a machine that does other work besides, the processor's time says more than the clock's.
    """

    least: float
    middle: float
    cpu: float


def processor() -> float:
    """Processor time of this process and its ended children so far. [s]"""
    both = (resource.getrusage(w) for w in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(r.ru_utime + r.ru_stime for r in both)


def timed(work: Callable[[], object], rounds: int) -> Took:
    """How long some work takes. [s]"""
    took, used = [], []
    for _ in range(rounds):
        start, before = time.perf_counter(), processor()
        work()
        took.append(time.perf_counter() - start)
        used.append(processor() - before)
    return Took(min(took), statistics.median(took), min(used))


HEADING = "| what | quickest, ms | middle, ms | processor, ms | target, ms |\n|---|---|---|---|---|"


def row(what: str, took: Took, target: str = "") -> str:
    """One line of a table under HEADING."""
    numbers = " | ".join(f"{1000 * t:.0f}" for t in (took.least, took.middle, took.cpu))
    return f"| {what} | {numbers} | {target} |"


def process(*words: str, allowed: Sequence[int] = (0,)) -> Callable[[], object]:
    """A whole Python process, from start to end."""

    def run() -> object:
        got = subprocess.run([sys.executable, *words], capture_output=True, check=False)
        if got.returncode not in allowed:
            raise RuntimeError(f"{words} ended with {got.returncode}: {got.stderr.decode()}")
        return got

    return run
