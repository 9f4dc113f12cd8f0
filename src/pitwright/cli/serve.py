"""``pitwright serve``: the app on this machine, in the browser."""

from __future__ import annotations

import argparse
import platform
import secrets
import tempfile
from importlib.resources import files
from pathlib import Path

from pitwright.cli.main import OK
from pitwright.cli.record_ground import chance, now, place_of
from pitwright.cli.record_place import place_options
from pitwright.errors import Missing, OutOfRange

HELP = "the app in the browser: look, measure, choose, build, prove, close"
PORT = 8765
EXTRA = "fastapi"


def configure(parser: argparse.ArgumentParser) -> None:
    """Options of the command."""
    parser.add_argument("--demo", action="store_true", help="open an example firm, kept nowhere")
    parser.add_argument("--port", default=str(PORT), help=f"port on this machine ({PORT})")
    place_options(parser)


def run(args: argparse.Namespace) -> int:
    """Answer on 127.0.0.1 until Ctrl-C. Raises OutOfRange for the port, Missing without the
    libraries, NotWritable."""
    if not str(args.port).isdecimal() or not 0 <= int(args.port) <= 65535:
        raise OutOfRange("--port", args.port, 0, 65535, "0 takes any that is free")
    try:
        from pitwright.server.desk import Desk
        from pitwright.server.planner import Planner
        from pitwright.server.run import serve
    except ModuleNotFoundError as missing:
        raise Missing(
            f"the library {missing.name}", "install pitwright again with all it needs"
        ) from None
    from pitwright.records.store import open_store

    with tempfile.TemporaryDirectory(prefix="pitwright-demo-") as folder:
        place = folder if args.demo else place_of(args.record)
        store = open_store(
            place, platform.node(), files=Path(args.files) if args.files and not args.demo else None
        )
        desk = Desk(store, now, chance, Planner())
        if args.demo:
            from pitwright.server.example import fill

            texts = files("pitwright.cli").joinpath("data")
            fill(
                desk,
                {p.name: p.read_text("utf-8") for p in texts.iterdir() if p.name.endswith(".toml")},
            )
        serve(desk, secrets.token_urlsafe(24), int(args.port), _say)
    return OK


def _say(address: str) -> None:
    print(f"Open {address}\nOnly this machine can reach it. Ctrl-C ends it.", flush=True)
