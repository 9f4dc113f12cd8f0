"""The command ``pitwright``: finds the command's module, runs it, and turns mistakes into words.

A command module offers ``HELP`` (one line), ``configure(parser)`` and ``run(args) -> int``; it is
imported only when it is asked for, so ``--version`` and ``--help`` stay quick.
"""

from __future__ import annotations

import argparse
import io
import sys
from collections.abc import Sequence
from importlib import import_module
from types import ModuleType

from pitwright import __version__
from pitwright.errors import PitwrightError

OK, BAD_INPUT, REFUSED, STOPPED = 0, 2, 3, 130
"""Exit codes: done, what was given cannot be used, something asked for can't be done, Ctrl-C."""

COMMANDS: dict[str, str] = {
    "demo": "plan the example pit and write its sheets",
    "plan": "a pit's survey in, cut list, parts and pit sheet out",
    "resume": "half built and something differs: what stands, what to cut now, or stop",
    "carry": "one page of a pit that opens on any phone without a line, and takes notes",
    "flex": "how far each stub may be moved by hand, and how much to dig before it may",
    "identify": "what pipe is this? Every pipe it can be, and what would tell them apart",
    "survey": "write a new survey file, or check what one holds",
    "cure": "when may water stand in a cemented joint? Working, hold, set and cure time",
    "offset": "plain, rolling and equal-spread offsets: travel, cut length, stagger",
    "wire": "which wire, which splice: places, odds and the next best test from meter readings",
    "serve": "the app in the browser: look, measure, choose, build, prove, close",
    "record": "what lies buried and what was done: add, find, history, exchange, backup",
}
"""Command and its one line of help, in the order of the work."""

EPILOG = """\
exit codes: 0 done, 2 bad input (nothing written), 3 something asked for is refused, with reasons.
Pitwright defers to local codes, the maker's sheet and licensed trades."""


def command_module(name: str) -> ModuleType:
    """The module behind one command, imported now."""
    return import_module(f"pitwright.cli.{name.replace('-', '_')}")


def parser_for(names: Sequence[str]) -> argparse.ArgumentParser:
    """The whole parser, with the options of ``names`` filled in and the rest listed by help."""
    parser = argparse.ArgumentParser(
        prog="pitwright",
        description="Readings of one opened valve box in, a proven plan out.",
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"pitwright {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for name, line in COMMANDS.items():
        sub = commands.add_parser(name, help=line, description=line)
        if name in names:
            command_module(name).configure(sub)
    return parser


def run(argv: Sequence[str] | None = None) -> int:
    """Run one command line and return its exit code. Mistakes go to stderr, one message each."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal that lacks Ω gets \u03a9
    arguments = list(sys.argv[1:] if argv is None else argv)
    asked = next((a for a in arguments if a in COMMANDS), None)
    args = parser_for([asked] if asked else []).parse_args(arguments)
    try:
        return int(command_module(args.command).run(args))
    except PitwrightError as mistake:
        print(f"pitwright: {mistake}", file=sys.stderr)
        return BAD_INPUT
    except KeyboardInterrupt:
        print("pitwright: stopped; nothing was written", file=sys.stderr)
        return STOPPED
    except BrokenPipeError:
        # the reader of our output has gone (| head); point stdout nowhere and leave quietly
        sys.stdout = None
        return OK
