"""What the record's tests share: a still clock, counted dice, stores, and a private server."""

from __future__ import annotations

import hashlib
import os
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Callable, Mapping
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path
from typing import Any

from pitwright.records.canonical import encode
from pitwright.records.entry import Entry, EntryId, Header, Message, body_hash, make
from pitwright.records.exchange import Peer, answer, exchange
from pitwright.records.postgres import Postgres
from pitwright.records.store import Draft, Hand, Right, Store
from pitwright.records.when import Span, Written, stamp

NOON = datetime(2026, 5, 4, 12, 0, tzinfo=UTC)
OFFICE = Right("u-office")
HOME = "test-machine"


def dice(seed: str) -> Callable[[int], bytes]:
    """Bytes that look random and are the same every time."""
    numbers = count()
    return lambda n: hashlib.sha256(f"{seed}:{next(numbers)}".encode()).digest()[:n]


def hand(seed: str = "a", right: Right = OFFICE, now: datetime = NOON) -> Hand:
    return Hand(right, now, dice(seed), 0)


def note(text: str, subject: str = "b-1", site: str = "s-1") -> Draft:
    return Draft("note", site, subject, {"text": text})


def label(text: str, subject: str = "b-1", site: str = "s-1") -> Draft:
    return Draft("pit", site, subject, {"label": text})


def entry_of(
    n: int = 1, *, kind: str = "note", body: Mapping[str, Any] | None = None, device: str = "dx",
    lamport: int = 1, site: str = "s-1", subject: str = "b-1", field: str = "note/x",
    supersedes: tuple[str, ...] = (), about: tuple[str, ...] = (), files: tuple[str, ...] = (),
    version: int = 1, written: datetime = NOON, prev: str | None = None,
) -> Entry:  # fmt: skip
    """An entry made by hand, as another device would."""
    salt, data = b"0123456789abcdef", encode(dict(body or {"text": f"note {n}"}))
    before = EntryId(prev or "e1_" + "a" * 52) if n > 1 else None
    return make(
        Header(
            kind, version, site, subject, field, device, n, before, lamport, Span.at(NOON),
            Written(stamp(written), 0), "u-other", tuple(EntryId(i) for i in sorted(supersedes)),
            tuple(EntryId(i) for i in sorted(about)), tuple(sorted(files)), body_hash(salt, data),
        ),
        salt,
        data,
    )  # fmt: skip


def newer(header: bytes, salt: bytes = b"s" * 16) -> Message:
    """Something of a format that nobody here can read."""
    digest = hashlib.sha256(header).hexdigest()
    return Message(f"e2_{digest}", header, salt, b"{}")


def peer(store: Store, right: Right = OFFICE, now: datetime = NOON) -> Peer:
    return lambda question: answer(store, question, right, now)


def meet(a: Store, b: Store) -> None:
    exchange(a, peer(b), OFFICE, NOON)


def ids(store: Store) -> set[str]:
    return {row[0] for row in store.db.rows("SELECT id FROM entries")}


def whole(store: Store) -> dict[str, tuple[bytes, bytes | None]]:
    """Every entry, byte by byte."""
    return {e.id: (e.data, e.body_data) for e in store.entries(sorted(ids(store)))}


def later(hours: float) -> datetime:
    return NOON + timedelta(hours=hours)


def server_programs() -> Path | None:
    """The folder of the newest PostgreSQL server here."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    if found:
        return found[-1].parent
    path = shutil.which("initdb")
    return Path(path).resolve().parent if path else None


class Cluster:
    """A server of our own: on a socket in a temporary folder, never on a network."""

    def __init__(self, programs: Path) -> None:
        self.programs = programs
        self.folder = Path(tempfile.mkdtemp(prefix="pw-pg-"))
        self.user = "nobody" if os.geteuid() == 0 else None
        if self.user:
            shutil.chown(self.folder, self.user)
        self.data = self.folder / "data"
        self._names = count()
        self._call(
            "initdb", "-D", str(self.data), "-U", "keeper", "-A", "trust", "--no-sync", "-E",
            "UTF8", "--no-locale",
        )  # fmt: skip
        self.start()

    def _call(self, program: str, *args: str) -> None:
        command = [str(self.programs / program), *args]
        done = subprocess.run(
            command, user=self.user, cwd=self.folder, capture_output=True, text=True, timeout=60,
            env={"PATH": os.defpath, "LC_ALL": "C"}, check=False,
        )  # fmt: skip
        assert done.returncode == 0, f"{program}: {done.stderr[-800:]}{done.stdout[-400:]}"

    def start(self) -> None:
        options = (
            f"-k {self.folder} -c listen_addresses='' -c shared_buffers=16MB -c max_connections=20"
        )
        log = str(self.folder / "log")
        self._call("pg_ctl", "-D", str(self.data), "-l", log, "-w", "-o", options, "start")

    def kill(self) -> None:
        """At once, without a last write."""
        pid = int((self.data / "postmaster.pid").read_text().splitlines()[0])
        os.kill(pid, signal.SIGQUIT)
        for _ in range(600):
            if not (self.data / "postmaster.pid").exists():
                return
            time.sleep(0.05)
        raise AssertionError(f"server {pid} is still there")

    def stop(self) -> None:
        pid = self.data / "postmaster.pid"
        if pid.exists():
            self._call("pg_ctl", "-D", str(self.data), "-m", "immediate", "-w", "stop")
        shutil.rmtree(self.folder, ignore_errors=True)

    def address(self, user: str = "keeper") -> str:
        return f"postgresql://{user}@localhost:5432/postgres?socket={self.folder}"

    def fresh(self) -> str:
        """The address of a new, empty record: a schema of its own, owned by a plain role."""
        name = f"record_{next(self._names)}"
        admin = Postgres(self.address())
        admin.run(f"CREATE ROLE {name} LOGIN")
        admin.run(f"CREATE SCHEMA AUTHORIZATION {name}")
        admin.run(f"ALTER ROLE {name} SET search_path = {name}")
        admin.close()
        return self.address(name)
