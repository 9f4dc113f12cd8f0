"""Waiting for a coroutine in a thread of its own: a browser's own loop may run in this one."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def waited(job: Coroutine[Any, Any, T]) -> T:
    """What the coroutine gives back; what it raises is raised here."""
    with ThreadPoolExecutor(max_workers=1) as one:
        return one.submit(asyncio.run, job).result()
