"""What every part of ``pitwright record`` stands on: the place, the clock, the dice, who writes."""

from __future__ import annotations

import argparse
import os
import platform
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path

from pitwright.cli.record_place import FOLDER, PLACE, place_options
from pitwright.errors import Unreadable
from pitwright.records.entry import opaque
from pitwright.records.pits import Place, find
from pitwright.records.store import DATABASE_FILE, Hand, Right, Store, open_store

__all__ = [
    "AUTHOR",
    "FOLDER",
    "PLACE",
    "chance",
    "hand_of",
    "now",
    "opened",
    "pit_of",
    "place_of",
    "place_options",
]

AUTHOR = "author"


def now() -> datetime:
    """The machine's clock, with its zone. Tests put another here."""
    return datetime.now().astimezone()


def chance(n: int) -> bytes:
    """Some random bytes. Tests put others here."""
    return secrets.token_bytes(n)


def place_of(given: str | None) -> str:
    """Which record is meant."""
    return given or os.environ.get(PLACE) or FOLDER


@contextmanager
def opened(args: argparse.Namespace, make: bool = False) -> Iterator[Store]:
    """The record that was asked for. Raises Unreadable when it is not there, unless it is made."""
    files = Path(args.files) if args.files else None
    place = place_of(args.record)
    if not make and "://" not in place and not (Path(place) / DATABASE_FILE).exists():
        raise Unreadable(
            place, None, "holds no record", "give --record, or begin with record add property NAME"
        )
    store = open_store(place_of(args.record), platform.node(), files=files)
    try:
        yield store
    finally:
        store.close()


def hand_of(store: Store, clock: str | None = None) -> Hand:
    """Whoever sits here: one author of this record, known by an id that says nothing.

    ``clock``: how far the machine's clock was off when it was last checked. [s]
    """
    author = store.fact(AUTHOR)
    if not author:
        author = opaque("u", chance(10))
        with store.db.writing():
            store.remember(AUTHOR, author)
    return Hand(Right(author), now(), chance, None if clock is None else int(clock))


def pit_of(store: Store, text: str) -> Place:
    """The pit meant; BadInput when there is none or there are several."""
    return find(store, "pit", text)
