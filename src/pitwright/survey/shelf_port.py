"""What this room asks of a shelf: pipes by name."""

from __future__ import annotations

from enum import Enum
from typing import Protocol

__all__ = ["JointKind", "Pipe", "Shelf"]


class JointKind(Enum):
    """What an end offers."""

    PIPE = "pipe"
    SOCKET = "socket"
    MALE_THREAD = "male thread"
    FEMALE_THREAD = "female thread"


class Pipe(Protocol):
    """One pipe of the shelf."""

    @property
    def id(self) -> str:
        """Its id on the shelf."""
        ...

    @property
    def name(self) -> str:
        """Its name in words."""
        ...


class Shelf(Protocol):
    """Pipes by name or id."""

    def pipe(self, name_or_id: str) -> Pipe:
        """The pipe of that name; raises UnknownName with the nearest."""
        ...
