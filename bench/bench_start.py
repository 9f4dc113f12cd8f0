"""How long the command takes to start, as a whole process, beside Python alone."""

from __future__ import annotations

from bench.timing import HEADING, process, row, timed

ROUNDS = 15
TARGET = 0.15
"""For --version. [s]"""


def main() -> None:
    """Print the table."""
    rows = (
        ("peer: `python -c pass`", process("-c", "pass"), ""),
        ("peer: `python -c 'import argparse'`", process("-c", "import argparse"), ""),
        ("`pitwright --version`", process("-m", "pitwright", "--version"), f"{1000 * TARGET:.0f}"),
        ("`pitwright --help`", process("-m", "pitwright", "--help"), ""),
    )
    print(HEADING)
    for what, work, target in rows:
        print(row(what, timed(work, ROUNDS), target))


if __name__ == "__main__":
    main()
