"""A desk on a record in a folder, a clock that a test moves, and a browser without a screen."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from pathlib import Path

import httpx

from pitwright.records.store import open_store
from pitwright.server.app import application
from pitwright.server.desk import Desk
from pitwright.server.guard import COOKIE, Guard
from pitwright.server.planner import Planner

SECRET, PORT = "key-of-this-start", 8765
BASE = f"http://127.0.0.1:{PORT}"


@dataclass
class Clock:
    now: datetime = datetime(2026, 5, 4, 9, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        return self.now

    def later(self, seconds: float) -> None:
        self.now += timedelta(seconds=seconds)


@dataclass
class Dice:
    """Bytes that look random and are the same every time."""

    thrown: int = 0

    def __call__(self, n: int) -> bytes:
        self.thrown += 1
        return hashlib.shake_256(f"dice {self.thrown}".encode()).digest(n)


@dataclass
class Ground:
    desk: Desk
    clock: Clock
    dice: Dice = field(default_factory=Dice)


@contextmanager
def ground(folder: Path) -> Iterator[Ground]:
    clock, dice = Clock(), Dice()
    desk = Desk(open_store(str(folder), "a test"), clock, dice, Planner())
    try:
        yield Ground(desk, clock, dice)
    finally:
        desk.close()


def client(desk: Desk, secret: str = SECRET, *, raised: bool = True) -> httpx.AsyncClient:
    """Asks the guarded app without a line; cookies and origin as our own pages send them."""
    app = Guard(application(desk, SECRET), SECRET, PORT)
    return httpx.AsyncClient(
        transport=httpx.ASGITransport(app=app, raise_app_exceptions=raised), base_url=BASE,
        cookies={COOKIE.format(port=PORT): secret},
        headers={"origin": BASE},
    )  # fmt: skip
