"""The kinds of quantity a technician reads, with every unit they may write.

Factors are exact by definition unless a row says otherwise [NIST-SP811]: 1 in = 25.4 mm,
1 lbf = 4.4482216152605 N, 1 US gal = 231 in³.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = [
    "AMOUNTS",
    "ANGLE",
    "BAR",
    "CELSIUS_ZERO",
    "DRIP",
    "FLOW",
    "FOOT",
    "FORCE",
    "GALLON",
    "INCH",
    "LENGTH",
    "OHMS",
    "PRESSURE",
    "PSI",
    "SPANS",
    "SPEED",
    "TEMPERATURE",
    "TIME",
    "VOLUME",
    "Kind",
    "Unit",
]

INCH = 0.0254
"""[m]"""
FOOT = 12 * INCH
"""[m]"""
POUND_FORCE = 4.4482216152605
"""[N]"""
PSI = POUND_FORCE / INCH**2
"""[Pa]"""
BAR = 1e5
"""[Pa]"""
GALLON = 231 * INCH**3
"""US liquid gallon. [m³]"""
LITRE = 1e-3
"""[m³]"""
CELSIUS_ZERO = 273.15
"""[K]"""
DEGREE = 0.017453292519943295
"""[rad]"""


@dataclass(frozen=True, slots=True)
class Unit:
    """si = value * factor + offset."""

    name: str
    factor: float
    offset: float = 0.0


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: its name, SI unit and the spellings people use (lower case)."""

    name: str
    si: str
    spellings: Mapping[str, Unit]

    def units(self) -> tuple[str, ...]:
        """The preferred name of each unit, once, in the order they were listed."""
        return tuple(dict.fromkeys(u.name for u in self.spellings.values()))


def _kind(name: str, si: str, *units: tuple[Unit, str]) -> Kind:
    table: dict[str, Unit] = {}
    for unit, spellings in units:
        for spelling in (unit.name, *spellings.split()):
            table[spelling.casefold()] = unit
    return Kind(name, si, table)


LENGTH = _kind(
    "length",
    "m",
    (Unit("in", INCH), "inch inches ins \" ” ″ '' in."),
    (Unit("ft", FOOT), "foot feet ' ’ ′ ft."),
    (Unit("mm", 1e-3), "millimetre millimetres millimeter millimeters"),
    (Unit("cm", 1e-2), "centimetre centimetres centimeter centimeters"),
    (Unit("m", 1.0), "metre metres meter meters"),
)
ANGLE = _kind("angle", "rad", (Unit("deg", DEGREE), "° degree degrees"), (Unit("rad", 1.0), ""))
PRESSURE = _kind(
    "pressure",
    "Pa",
    (Unit("psi", PSI), "lb/in2"),
    (Unit("kPa", 1e3), ""),
    (Unit("bar", BAR), ""),
    (Unit("ft of water", 2989.06692), "ftwater fth2o"),
    (Unit("m of water", 9806.65), "mwater mh2o"),
    (Unit("Pa", 1.0), ""),
)
DRIP = 1e-6 / 3
"""One drip from an open pipe end. [m³] USGS counted 1/5 to 1/3 mL at taps [USGS-DRIP]; the most of
it, for more water is the worse case."""
AMOUNTS = (
    ("drip", DRIP, ("drip", "drips", "drop", "drops")),
    ("tsp", GALLON / 768, ("tsp", "teaspoon", "teaspoons", "teaspoonful", "teaspoonfuls")),
    (
        "tbsp",
        GALLON / 256,
        (
            *("tbsp", "tablespoon", "tablespoons", "tablespoonful", "tablespoonfuls"),
            *("spoonful", "spoonfuls", "spoon", "spoons"),
        ),
    ),
    ("cup", GALLON / 16, ("cup", "cups", "cupful", "cupfuls")),
)
"""What a trickle is told in: name, size [m³], spellings. US cups and spoons [NIST-SP811]; a
spoonful without a name is a tablespoon."""
SPANS = (
    ("s", 1.0, ("s", "sec", "secs", "second", "seconds")),
    ("min", 60.0, ("min", "mins", "minute", "minutes")),
    ("h", 3600.0, ("h", "hr", "hrs", "hour", "hours")),
)
"""What it is told over: name, length [s], spellings."""
FLOW = _kind(
    "flow",
    "m³/s",
    (Unit("gpm", GALLON / 60), "gal/min"),
    (Unit("gph", GALLON / 3600), "gal/h"),
    (Unit("L/min", LITRE / 60), "lpm l/m"),
    (Unit("mL/min", LITRE / 60e3), ""),
    (Unit("L/h", LITRE / 3600), "lph"),
    (Unit("L/s", LITRE), ""),
    (Unit("m3/h", 1 / 3600), "m³/h"),
    *(
        (Unit(f"{what}/{span}", size / long), "")
        for what, size, _ in AMOUNTS
        for span, long, _ in SPANS
    ),
)
VOLUME = _kind(
    "volume",
    "m³",
    (Unit("gal", GALLON), "gallon gallons"),
    (Unit("L", LITRE), "litre litres liter liters"),
    (Unit("mL", LITRE / 1e3), ""),
)
TEMPERATURE = _kind(
    "temperature",
    "K",
    (Unit("°F", 5 / 9, CELSIUS_ZERO - 32 * 5 / 9), "F degF"),
    (Unit("°C", 1.0, CELSIUS_ZERO), "C degC"),
)
TIME = _kind(
    "time",
    "s",
    (Unit("s", 1.0), "sec second seconds"),
    (Unit("min", 60.0), "minute minutes"),
    (Unit("h", 3600.0), "hr hour hours"),
    (Unit("day", 86400.0), "days"),
)
SPEED = _kind("speed", "m/s", (Unit("ft/s", FOOT), "fps"), (Unit("m/s", 1.0), ""))
FORCE = _kind("force", "N", (Unit("lb", POUND_FORCE), "lbf lbs"), (Unit("N", 1.0), ""))
OHMS = _kind(
    "resistance",
    "Ω",
    (Unit("Ω", 1.0), "ohm ohms"),
    (Unit("kΩ", 1e3), "kohm kohms k"),
    (Unit("MΩ", 1e6), "mohm megohm megohms"),
)
