"""One reading: what was typed, what it comes to, and how sure it is.

Every tool has a default, one sigma (``data/tools.csv``, all of it judgement); a ``+-`` or a range
in the text overrides it, and a survey may set its own under ``[tools]``.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.errors import Malformed
from pitwright.findings import ReadingId, SourceKey
from pitwright.geometry.vector import ORIGIN, Vec
from pitwright.units.kinds import (
    ANGLE,
    FLOW,
    INCH,
    LENGTH,
    OHMS,
    PRESSURE,
    TEMPERATURE,
    TIME,
    VOLUME,
    Kind,
)
from pitwright.units.measure import measure
from pitwright.units.spread import Sigma, sigma_from

__all__ = [
    "DATUM",
    "KINDS",
    "LONGEST",
    "Covariance",
    "Located",
    "Reading",
    "Tool",
    "default_tools",
    "diagonal",
    "joined",
    "read_one",
    "tool_of",
]

LONGEST = 400 * INCH
"""No length in one pit is longer: a longer one is a slip of the unit. [m] Judgement."""

KINDS: Mapping[str, Kind] = {
    k.name: k for k in (LENGTH, ANGLE, PRESSURE, FLOW, VOLUME, TEMPERATURE, TIME, OHMS)
}

Covariance = tuple[Vec, Vec, Vec]


@dataclass(frozen=True, slots=True)
class Tool:
    """What a reading was taken with.

    One sigma is ``sigma`` (SI; kelvin for a temperature) and ``share`` of the value [-] together.
    """

    name: str
    kind: Kind
    sigma: Sigma
    source: SourceKey
    share: float = 0.0

    def sigma_at(self, value: float) -> Sigma:
        """One sigma of a reading of ``value``. SI. Source: root sum of squares."""
        return Sigma(math.hypot(self.sigma.one, self.share * value))


@dataclass(frozen=True, slots=True)
class Reading:
    """One value as it was typed, in SI, with one sigma in the same unit.

    ``id`` is its key path in the survey ("stub.beds-in.tip.0"); ``kind`` names the quantity;
    ``tool`` what it was taken with; ``given`` says that the person stated the uncertainty.
    """

    id: ReadingId
    text: str
    value: float
    sigma: Sigma
    kind: str
    tool: str
    given: bool = False


@dataclass(frozen=True, slots=True)
class Located:
    """A point of the pit: mean [m], covariance [m²], the readings behind it, where they start.

    The covariance stands alone: readings that two points share (a chain from the same corner) are
    counted in full for both.
    """

    mean: Vec
    covariance: Covariance
    readings: tuple[Reading, ...]
    start: str = ""


DATUM = Located(ORIGIN, (ORIGIN, ORIGIN, ORIGIN), ())


def diagonal(x: float, y: float, z: float) -> Covariance:
    """A covariance of three independent variances. [m²] Source: arithmetic."""
    return ((x, 0.0, 0.0), (0.0, y, 0.0), (0.0, 0.0, z))


def joined(a: Covariance, b: Covariance) -> Covariance:
    """The sum of two independent covariances. [m²] Source: arithmetic."""
    rows = [tuple(p + q for p, q in zip(r, s, strict=True)) for r, s in zip(a, b, strict=True)]
    return (_vec(rows[0]), _vec(rows[1]), _vec(rows[2]))


def _vec(row: tuple[float, ...]) -> Vec:
    return (row[0], row[1], row[2])


@cache
def default_tools() -> Mapping[str, Tool]:
    """The tools of ``data/tools.csv`` by name, sigmas in SI. Source: per row, judgement."""
    text = files("pitwright.survey").joinpath("data/tools.csv").read_text(encoding="utf-8")
    tools: dict[str, Tool] = {}
    for row in csv.DictReader(io.StringIO(text)):
        kind = KINDS[row["kind"]]
        factor = 1.0 if row["unit"] == "K" else kind.spellings[row["unit"].casefold()].factor
        sigma = Sigma(float(row["sigma"]) * factor)
        source, share = SourceKey(row["source"]), float(row["share"])
        tools[row["tool"]] = Tool(row["tool"], kind, sigma, source, share)
    return tools


def read_one(
    typed: object,
    tool: Tool,
    *,
    unit: str,
    where: str,
    low: float = -math.inf,
    high: float = math.inf,
) -> Reading:
    """One reading of the tool's kind, ``low`` to ``high`` [SI], a bare number being in ``unit``.

    Raises Malformed, WrongUnit or OutOfRange naming ``where``. Sources: sigma from limits as
    :func:`~pitwright.units.spread.sigma_from` [GUM]; else the tool's own.
    """
    if isinstance(typed, bool) or not isinstance(typed, str | int | float):
        raise Malformed(
            where,
            typed,
            f"must be a {tool.kind.name}",
            'write it as text in quotes, such as "4 3/8"',
        )
    got = measure(typed, tool.kind, default=unit, where=where, low=low, high=high)
    if got.limit is None:
        return Reading(
            ReadingId(where), got.text, got.si, tool.sigma_at(got.si), tool.kind.name, tool.name
        )
    if got.limit.half <= 0.0:
        raise Malformed(
            where,
            got.text,
            "must leave some room between its limits",
            "no reading is sure to nothing; leave the +- away to take the tool's own",
        )
    return Reading(
        ReadingId(where),
        got.text,
        got.si,
        sigma_from(got.limit),
        tool.kind.name,
        tool.name,
        given=True,
    )


def tool_of(tool: Tool, typed: object, *, unit: str, where: str) -> Tool:
    """The tool with the person's own one sigma. SI. Raises Malformed and those of a reading."""
    default = unit if tool.kind is LENGTH else tool.kind.units()[0]
    if tool.kind is TEMPERATURE:
        raise Malformed(
            where, typed, "is fixed for thermometers", "write +- at the reading instead"
        )
    got = read_one(typed, tool, unit=default, where=where)
    if got.given or got.value <= 0.0:
        raise Malformed(where, typed, "must be one sigma, above 0", 'write it as "1/32 in"')
    return Tool(tool.name, tool.kind, Sigma(got.value), SourceKey("user"))
