"""Every mistake Pitwright can name.

The tree::

    PitwrightError
    ├── BadInput (ValueError)       what a person gave cannot be used
    │   ├── Unreadable              a file is not there, not text, too big, not TOML …
    │   ├── Malformed               a value does not parse ("4 3/x in")
    │   ├── WrongUnit               a unit of the wrong kind ("psi" for a length)
    │   ├── OutOfRange              a number outside what the part or the formula allows
    │   ├── Missing                 a reading or key that is needed is not there
    │   ├── UnknownName             a pipe, part, key or zone nobody knows
    │   ├── Duplicate               two things with one name, or at one place
    │   └── Contradiction           readings that cannot all be true
    ├── NotWritable (OSError)       the result cannot be put where it was asked for
    └── BrokenShelf                 a catalogue row breaks the rules of the shelf

A mistake is raised; "it can't be done" is not a mistake but a :class:`~pitwright.findings.Refusal`.
Messages say where, what came, what is allowed and what to do, in lower case, without apology.
The facts stay on the exception as attributes.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

__all__ = [
    "BadInput",
    "BrokenShelf",
    "Contradiction",
    "Duplicate",
    "Malformed",
    "Missing",
    "NotWritable",
    "OutOfRange",
    "PitwrightError",
    "UnknownName",
    "Unreadable",
    "WrongUnit",
    "shown",
]

_LONGEST_ECHO = 60
_MOST_NEAREST = 3


def shown(got: object) -> str:
    """One printable line that echoes what came, cut short when it is long.

    Source: none; a rule of this house.
    """
    text = got if isinstance(got, str) else repr(got)
    text = "".join(c if c.isprintable() else "·" for c in text)
    if len(text) > _LONGEST_ECHO:
        text = text[: _LONGEST_ECHO - 1] + "…"
    return f'"{text}"' if isinstance(got, str) else text


class PitwrightError(Exception):
    """The root: anything Pitwright says is wrong."""


class BadInput(PitwrightError, ValueError):
    """What a person gave cannot be used.

    ``where`` is a key path such as ``zone.beds.valve.body``; ``file`` and ``line`` (1-based) are
    filled in by the reader that knows them, see :meth:`at`.
    """

    def __init__(self, where: str, got: object, rule: str, hint: str) -> None:
        self.where, self.got, self.rule, self.hint = where, got, rule, hint
        self.file: str | None = None
        self.line: int | None = None
        super().__init__(where, got, rule, hint)

    def at(self, file: str, line: int | None = None) -> BadInput:
        """The same mistake, with the file and (when known) the 1-based line it came from."""
        self.file = self.file or file
        self.line = self.line or line
        return self

    def __str__(self) -> str:
        place = "" if self.file is None else f"{self.file}: "
        if self.line is not None:
            place = f"{self.file}:{self.line}: "
        came = "" if self.got is None else f" (got {shown(self.got)})"
        return f"{place}{self.where} {self.rule}{came}: {self.hint}"


class Unreadable(BadInput):
    """A file is missing, a directory, too big, not text or not in its own format."""


class Malformed(BadInput):
    """A value does not parse."""


class WrongUnit(BadInput):
    """A value carries a unit of another kind, or one nobody knows."""


class OutOfRange(BadInput):
    """A reading or argument lies outside what the part or the formula allows."""

    def __init__(self, where: str, got: object, low: object, high: object, hint: str) -> None:
        super().__init__(where, got, f"must be {low} to {high}", hint)
        self.low, self.high = low, high


class Missing(BadInput):
    """A reading or key that is needed is not there."""

    def __init__(self, where: str, hint: str) -> None:
        super().__init__(where, None, "is missing", hint)


class UnknownName(BadInput):
    """A name nobody knows, with the nearest ones that are known, or those that it can mean."""

    def __init__(
        self,
        where: str,
        got: str,
        known: Iterable[str],
        what: str = "name",
        meant: Sequence[str] = (),
    ) -> None:
        names = sorted(set(known))
        close = get_close_matches(got, names, n=_MOST_NEAREST, cutoff=0.5)
        self.nearest: Sequence[str] = [*meant][:_MOST_NEAREST] or close
        self.meant: Sequence[str] = tuple(meant)
        self.known: Sequence[str] = names
        listed = self.nearest or names[:_MOST_NEAREST]
        more = "" if meant or len(names) <= len(listed) else f" ({len(names)} are known)"
        hint = f"did you mean {', '.join(listed)}?{more}" if listed else "none is known here"
        rule = f"may be any of {len(meant)} {what}s" if len(meant) > 1 else f"is not a known {what}"
        super().__init__(where, got, rule, hint)


class Duplicate(BadInput):
    """Two things carry one name, or stand at one place."""


class Contradiction(BadInput):
    """Readings that cannot all be true."""


class NotWritable(PitwrightError, OSError):
    """The result cannot be put where it was asked for; nothing half-written is left."""

    def __init__(self, path: str, why: str, hint: str) -> None:
        self.path, self.why, self.hint = path, why, hint
        super().__init__(path, why, hint)

    def __str__(self) -> str:
        return f"{self.path} cannot be written ({self.why}): {self.hint}"


class BrokenShelf(PitwrightError):
    """A row of the catalogue breaks a rule that every such part obeys.

    ``code`` names the rule, ``limit`` is what it allows there, in SI, where it has one.
    """

    def __init__(
        self, table: str, row: int, got: object, rule: str, code: str = "", limit: float = 0.0
    ) -> None:
        self.table, self.row, self.got, self.rule = table, row, got, rule
        self.code, self.limit = code, limit
        super().__init__(table, row, got, rule)

    def __str__(self) -> str:
        return f"{self.table}, row {self.row}: {self.rule} (got {shown(self.got)})"
