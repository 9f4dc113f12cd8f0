"""How much bending a pipe bears, by material, age and temperature; and what hands can push.

Every number comes from ``data/`` with its source; a pipe that must never be bent gives a
:class:`~pitwright.findings.Refusal`.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from pitwright.errors import OutOfRange, UnknownName
from pitwright.findings import Refusal, Short, SourceKey
from pitwright.units.kinds import CELSIUS_ZERO, POUND_FORCE, PSI

__all__ = [
    "COLD",
    "CONDITIONS",
    "HOT",
    "NEVER",
    "Modulus",
    "StrainLimit",
    "hand_force",
    "modulus",
    "sources",
    "strain_limit",
]

CONDITIONS = ("sound", "old", "sun-struck", "chalky", "cracked")
NEVER = ("ac", "asbestos cement", "steel", "cast iron", "ductile iron", "clay", "concrete")
"""Never bent, whatever its state: it breaks, sheds fibres or is too stiff to move by hand."""
COLD = CELSIUS_ZERO + 10.0
"""Below 50 °F plastic breaks before it bends. [K]"""
HOT = CELSIUS_ZERO + 60.0
"""No figure for plastic above 140 °F. [K]"""
_ROOM = CELSIUS_ZERO + 23.0


@dataclass(frozen=True, slots=True)
class StrainLimit:
    """Largest bending strain that may stay, and that may be held for a moment [-], with sources."""

    staying: float
    momentary: float
    staying_source: SourceKey
    momentary_source: SourceKey
    staying_status: str
    momentary_status: str
    condition: str


@dataclass(frozen=True, slots=True)
class Modulus:
    """Modulus of elasticity [Pa], Poisson's ratio [-], and where they come from."""

    value: float
    poisson: float
    source: SourceKey
    status: str


@cache
def _rows(name: str) -> tuple[dict[str, str], ...]:
    text = files("pitwright.flex").joinpath("data", name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def sources() -> dict[str, str]:
    """What each source key of this room stands for. [-] Source: ``data/sources.csv``."""
    return {row["key"]: row["what"] for row in _rows("sources.csv")}


def hand_force() -> float:
    """The steady push one person gives at arm's length in a pit. [N] Source: judgement."""
    return float(_rows("hands.csv")[0]["force_lbf"]) * POUND_FORCE


def _kelvin(fahrenheit: str) -> float:
    return (float(fahrenheit) - 32.0) / 1.8 + CELSIUS_ZERO


def _checked(temperature: float) -> float:
    if not CELSIUS_ZERO - 60.0 <= temperature <= CELSIUS_ZERO + 100.0:
        raise OutOfRange("pipe temperature", temperature, 213.15, 373.15, "give it in kelvin")
    return temperature


def modulus(material: str, temperature: float = _ROOM) -> Modulus:
    """E [Pa] of "pvc", "pe" or "copper" at a temperature [K], on a line between two known ones.

    Below the coldest known temperature the coldest value holds, above the hottest the hottest.
    Raises UnknownName for another material, OutOfRange for a temperature no pit has.
    Source: ``data/modulus.csv``, a key per row.
    """
    _checked(temperature)
    rows = [row for row in _rows("modulus.csv") if row["material"] == material]
    if not rows:
        known = {row["material"] for row in _rows("modulus.csv")}
        raise UnknownName("pipe material", material, known, "material with a modulus")
    low = high = rows[0]
    for row in rows:
        high = row
        if _kelvin(row["temp_F"]) >= temperature:
            break
        low = row
    t0, t1 = _kelvin(low["temp_F"]), _kelvin(high["temp_F"])
    share = 0.0 if t1 == t0 else min(1.0, max(0.0, (temperature - t0) / (t1 - t0)))
    e0, e1 = float(low["modulus_psi"]), float(high["modulus_psi"])
    near = high if share > 0.5 else low
    value = (e0 + share * (e1 - e0)) * PSI
    return Modulus(value, float(near["poisson"]), SourceKey(near["source"]), near["status"])


def _forbidden(code: str, material: str, condition: str) -> Refusal:
    return Refusal((Short(code, f"{material}, {condition}", 0.0, 0.0, 0.0, "1", "cut it out"),), 1)


def strain_limit(
    material: str, condition: str = "old", temperature: float = _ROOM
) -> StrainLimit | Refusal:
    """The strains [-] a pipe of this material and condition bears at a temperature [K].

    Below 50 °F the cold row counts when it is stricter. A pipe nobody judged counts as old. What
    must never be bent (asbestos cement, iron, anything chalky or cracked, plastic hotter than
    140 °F, a material without a figure) is a Refusal with the code FLEX_FORBIDDEN, FLEX_HOT or
    FLEX_UNKNOWN_MATERIAL. Raises UnknownName for a condition that is not in CONDITIONS,
    OutOfRange for a temperature no pit has. Source: ``data/bend_strain.csv``, a key per row.
    """
    condition = condition or "old"
    if condition not in CONDITIONS:
        raise UnknownName("pipe condition", condition, CONDITIONS, "condition")
    _checked(temperature)
    rows = [row for row in _rows("bend_strain.csv") if row["material"] == material]
    if material in NEVER:
        return _forbidden("FLEX_FORBIDDEN", material, condition)
    if not rows:
        return _forbidden("FLEX_UNKNOWN_MATERIAL", material, condition)
    if temperature > HOT and material != "copper":
        return _forbidden("FLEX_HOT", material, condition)
    which = {condition, "cold"} if temperature < COLD else {condition}
    least: dict[str, dict[str, str]] = {}
    for row in rows:
        if row["condition"] in which:
            kept = least.get(row["how_long"])
            if kept is None or float(row["strain_pct"]) < float(kept["strain_pct"]):
                least[row["how_long"]] = row
    stay, brief = least["staying"], least["momentary"]
    if float(brief["strain_pct"]) == 0.0:
        return _forbidden("FLEX_FORBIDDEN", material, condition)
    return StrainLimit(
        float(stay["strain_pct"]) / 100.0,
        float(brief["strain_pct"]) / 100.0,
        SourceKey(stay["source"]),
        SourceKey(brief["source"]),
        stay["status"],
        brief["status"],
        stay["condition"],
    )
