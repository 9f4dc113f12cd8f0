"""``pitwright record``: what lies buried, what was done, what comes next."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from pitwright.cli import record_move, record_read, record_write

HELP = "what lies buried and what was done: add, find, history, exchange, backup"


class Mixed(argparse.ArgumentParser):
    """Lets ``NAME=VALUE`` words stand before, between and after the options."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse does, and words left over go to the values."""
        found, left = super().parse_known_args(args, namespace)
        if hasattr(found, "values"):
            found.values = [*found.values, *(word for word in left if not word.startswith("-"))]
            left = [word for word in left if word.startswith("-")]
        return found, left


def configure(parser: argparse.ArgumentParser) -> None:
    """The sub-commands."""
    commands = parser.add_subparsers(
        dest="step_name", metavar="STEP", required=True, parser_class=Mixed
    )
    for part in (record_write, record_read, record_move):
        part.configure(commands)


def run(args: argparse.Namespace) -> int:
    """Carry out one of them."""
    step: Callable[[argparse.Namespace], int] = args.step
    return step(args)
