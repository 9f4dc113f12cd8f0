"""How quickly the shelf is built and a pipe named, beside merely reading the same tables."""

from __future__ import annotations

import csv
import subprocess
import sys
import time
from collections.abc import Callable
from importlib.resources import files

from pitwright.catalogue import shelf
from pitwright.catalogue.building import build_fittings, build_pipes, build_threads
from pitwright.catalogue.derived import derive
from pitwright.catalogue.identify.candidates import identify
from pitwright.catalogue.identify.readings import Clues, Tool, outside_reading
from pitwright.catalogue.rules import slips_of
from pitwright.catalogue.tables import LONG_TABLES, load_tables
from pitwright.units.measure import measure

ROUNDS = 15


def quickest(work: Callable[[], object]) -> float:
    """Quickest of several rounds. [ms]"""
    took = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        work()
        took.append(time.perf_counter() - start)
    return 1000 * min(took)


def build() -> object:
    """The whole shelf from its files, nothing kept from before."""
    tables = load_tables()
    derive(tables)
    pipes = build_pipes(tables)
    fittings = build_fittings(tables, build_threads(tables))
    return slips_of(pipes, fittings, tables)


def merely_read() -> object:
    """The peer: the same long tables as dictionaries by the csv module, nothing made of them."""
    data = files("pitwright.catalogue") / "data"
    return [
        list(csv.DictReader((data / f"{t}.csv").read_text("utf-8").splitlines()))
        for t in LONG_TABLES
    ]


def command(*words: str) -> Callable[[], object]:
    return lambda: subprocess.run([sys.executable, *words], check=True, capture_output=True)


def main() -> None:
    """Print the table."""
    clues = Clues(outside_reading(Tool.ACROSS, (measure("1-5/16", default="in"),)))
    built = shelf.load_shelf()
    rows = (
        ("build the shelf from its tables and check it", quickest(build)),
        ("peer: csv.DictReader on the long tables alone", quickest(merely_read)),
        ("identify one reading", quickest(lambda: identify(built, clues))),
        (
            "whole process: pitwright identify --calliper 1.66",
            quickest(command("-m", "pitwright", "identify", "--calliper", "1.66")),
        ),
        ("peer: whole process that does nothing", quickest(command("-c", "pass"))),
    )
    print("| what | ms |\n|---|---|")
    for what, ms in rows:
        print(f"| {what} | {ms:.1f} |")


if __name__ == "__main__":
    main()
