"""Timing for every benchmark: the quickest and the middle of several rounds."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Took:
    """Quickest and middle of several rounds. [s]"""

    least: float
    middle: float


def timed(work: Callable[[], object], rounds: int) -> Took:
    """How long some work takes. [s]"""
    took = []
    for _ in range(rounds):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return Took(min(took), statistics.median(took))


def process(*words: str, allowed: Sequence[int] = (0,)) -> Callable[[], object]:
    """A whole Python process, from start to end."""

    def run() -> object:
        got = subprocess.run([sys.executable, *words], capture_output=True, check=False)
        if got.returncode not in allowed:
            raise RuntimeError(f"{words} ended with {got.returncode}: {got.stderr.decode()}")
        return got

    return run
