"""Stores on SQLite and on PostgreSQL: a test that asks for ``place`` runs on both."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from pitwright.records.store import Store, open_store
from tests.conftest import require_or_skip
from tests.records.support import HOME, Cluster, server_programs

Opener = Callable[[str], Store]


@pytest.fixture(scope="session")
def cluster() -> Iterator[Cluster]:
    programs = server_programs()
    if programs is None:
        require_or_skip("no PostgreSQL server here")
    if importlib.util.find_spec("pg8000") is None:
        require_or_skip("no PostgreSQL driver here")
    server = Cluster(programs)
    yield server
    server.stop()


@pytest.fixture(params=["sqlite", "postgresql"])
def opener(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Opener]:
    """Opens a store by a name; the same name opens the same store again."""
    places: dict[str, str] = {}
    opened: list[Store] = []

    def open_one(name: str) -> Store:
        if name not in places:
            server = request.param == "postgresql"
            places[name] = (
                request.getfixturevalue("cluster").fresh() if server else str(tmp_path / name)
            )
        store = open_store(places[name], HOME, files=tmp_path / name / "files")
        opened.append(store)
        return store

    yield open_one
    for store in opened:
        store.close()


@pytest.fixture
def store(opener: Opener) -> Store:
    return opener("a")


@pytest.fixture
def local(tmp_path: Path) -> Iterator[Callable[[str], Store]]:
    """Opens SQLite stores by name."""
    opened: list[Store] = []

    def open_one(name: str) -> Store:
        opened.append(open_store(str(tmp_path / name), HOME))
        return opened[-1]

    yield open_one
    for one in opened:
        one.close()
