"""What ``cure`` says, and the words of every finding and limit of a cemented or threaded joint."""

from __future__ import annotations

import math
from collections.abc import Callable
from datetime import datetime, timedelta

from pitwright.findings import Finding, Refusal, Short, Weight
from pitwright.jointing.cells import Reading
from pitwright.jointing.clock import JointClock
from pitwright.jointing.methods import Method
from pitwright.jointing.tables import cure_tables
from pitwright.jointing.times import JointTimes, Longest
from pitwright.units.inches import both_text, inches_text
from pitwright.units.kinds import INCH, POUND_FORCE, PSI, TEMPERATURE

__all__ = [
    "FINDINGS",
    "LIFTS",
    "SHORTS",
    "clock_text",
    "compared_text",
    "cure_text",
    "degrees_text",
    "duration_text",
    "finding_text",
    "refusal_text",
    "short_text",
]

MARK = {Weight.NOTE: "-", Weight.CHECK: "!", Weight.STOP: "STOP:"}
DOUBTFUL = {"memory": ", from memory"}
_HOUR, _MINUTE = 3600.0, 60.0


def duration_text(seconds: float) -> str:
    """``20 s``, ``22.5 min``, ``90 min``, ``155 min (2 h 35 min)``: never a bare fraction of an
    hour, and a wait never shorter than it is. [s]
    """
    if seconds < 2 * _MINUTE:
        return f"{seconds:g} s"
    if seconds < 2 * _HOUR:
        return f"{math.ceil(round(seconds * 10 / _MINUTE, 6)) / 10:g} min"
    whole = math.ceil(round(seconds / _MINUTE, 6))
    hours, left = divmod(whole, 60)
    return f"{whole} min ({hours} h{f' {left} min' if left else ''})"


def degrees_text(kelvin: float) -> str:
    """``60 °F (16 °C)`` for a temperature [K], each to the nearest degree."""
    unit = TEMPERATURE.spellings["f"]
    fahrenheit = (kelvin - unit.offset) / unit.factor
    celsius = kelvin - TEMPERATURE.spellings["c"].offset
    return f"{round(fahrenheit) + 0} °F ({round(celsius) + 0} °C)"


def clock_text(at: datetime, made_at: datetime) -> str:
    """``15:00``, ``9:00 the next day``, ``12:00, 2 days later``: a started minute counts whole."""
    up = at if at.second == at.microsecond == 0 else at + timedelta(minutes=1)
    days = (up.date() - made_at.date()).days
    later = ("", " the next day")[days] if days < 2 else f", {days} days later"
    return f"{up.hour}:{up.minute:02d}{later}"


def _psi(pascal: float) -> str:
    return f"{pascal / PSI:.0f} psi"


FINDINGS: dict[str, Callable[[Finding], str]] = {
    "band-edge": lambda f: (
        f"{degrees_text(f.number('kelvin'))} stands on the edge of two rows: the colder one counts."
    ),
    "hotter-than-tables": lambda f: (
        f"No table goes above {degrees_text(f.number('top_K'))}; its hottest row is used as a "
        "bound. Not cure but open time is the danger: the cement dries before it is home."
    ),
    "hot-open-time": lambda f: (
        f"At {degrees_text(f.number('hottest_K'))} cement skins over faster than any figure we "
        f"have (under {f.number('open_s'):g} s): shade, cool, two people, or wait for evening."
    ),
    "open-time-not-printed": lambda f: (
        f"No open time is known above {inches_text(f.number('largest_in') * INCH)}: "
        "two people, everything laid out first, and the time on the can."
    ),
    "cold-cement": lambda f: (
        f"At {degrees_text(f.number('kelvin'))} cement thickens: keep the can above "
        f"{degrees_text(f.number('store_K'))}, never heat it, and let no ice stay on the joint."
    ),
    "pressure-not-given": lambda f: (
        f"Nobody said what pressure will stand in it: counted as below "
        f"{_psi(f.number('pressure'))}."
    ),
    "from-memory": lambda f: (
        f"The longest {f.name('kind')} time is a row from memory; look it up before you lean on it."
    ),
    "cement-not-named": lambda f: (
        "Read the can: its own label comes first. If nobody knows what cement it is, two sheets "
        f"wait {f.number('seconds') / _HOUR:g} h, open to the air, before any test."
    ),
    "one-table-by-class": lambda f: (
        f"Counted by the table of {f.name('cement')} cement alone. The longest of all tables, "
        f"without factors, is {duration_text(f.number('longest_s'))}: "
        f"this one is {duration_text(f.number('used_s'))}. The can must say so."
    ),
    "loose-fit": lambda f: (
        f"Loose fit: the fast table of {f.name('cement')} cement is for parts that just fit, so "
        "the longest of all tables counts."
    ),
    "cement-too-thin": lambda f: (
        f"{f.name('cement').capitalize()} cement is for pipe up to "
        f"{inches_text(f.number('largest_in') * INCH)} (from memory): take a heavier one."
    ),
    "wet-by-label": lambda f: (
        f"{f.name('cement').capitalize()}: wipe off free water; its own label says whether "
        "water may reach it before it is set; where it asks for longer, it counts."
    ),
    "seep-after-set": lambda f: (
        f"Water reaches it after {duration_text(f.number('wet_s'))}, and it is set after "
        f"{duration_text(f.number('set_s'))}: leave a lower end open so that no water stands "
        "against it until it is cured, and time the seep again first."
    ),
    "humid-air": lambda f: (
        f"Humid air: times {f.number('times'):g}. It says nothing about a wet socket, which is "
        "not cemented at all."
    ),
    "tables-disagree": lambda f: (
        f"The tables differ {f.number('ratio'):.3g}-fold about this cure; the longest counts."
    ),
    "measure-made-up-unit": lambda f: (
        f"Threads stop where they stop (within {both_text(f.number('within'))}): make the unit "
        "up first and measure it."
    ),
    "turns-by-usual": lambda f: (
        f"{f.number('least'):g} to {f.number('most'):g} turns past hand-tight are usual for "
        "plastic; sheets print from 1/4 to 3. The part's own sheet comes first."
    ),
    "plastic-into-metal": lambda f: (
        "Plastic male into metal female: clean the metal thread of burrs, no wrench past the sheet."
    ),
}
"""The codes of jointing, each with its sentence."""

SHORTS: dict[str, str] = {
    "WET_SOCKET": "{tried} does not hold where the surface is wet, or where water can reach "
    "it within hold and set; no factor changes that",
    "WET_BEFORE_SET": "{tried}: water reaches it before it is set; no factor changes that",
    "TABLE_SIZE": "the {where} table ends below this size",
    "TABLE_COLD": "the {where} table does not go so cold",
    "TABLE_PRESSURE": "the {where} table does not go to this pressure",
    "TABLE_SILENT": "the {where} table prints no such time",
    "VENT_ONLY": "the {where} table is for vents, never for pressure",
    "METAL_INTO_PLASTIC": "{tried}: the taper splits it, today or next winter",
    "THREAD_SYSTEMS": "{tried}: another taper, angle and pitch; it leaks or strips",
    "THREAD_SIZES": "{tried}: not one size",
}
LIFTS: dict[str, str] = {
    "without_cement": "join it without cement, or stop the water and dry it first",
    "slower_seep": "a lower open end or a stopped seep, or join it without cement",
    "label_or_mechanical": "go by the cement maker's own sheet, or join without cement",
    "plastic_male": "plastic male into metal female, or a union between",
    "one_thread_system": "an adapter made for both systems",
    "thread_bushing": "a bushing between",
}


def finding_text(found: Finding) -> str:
    """One finding with its mark."""
    say = FINDINGS.get(found.code)
    return f"{MARK[found.weight]} {say(found) if say else found.code}"


def short_text(short: Short) -> str:
    """One limit: what stands in the way, by how much, and what would lift it."""
    line = SHORTS.get(short.code, short.code).format(where=short.where, tried=short.tried)
    if compared := compared_text(short):
        line += f" ({compared})"
    lift = LIFTS.get(short.lift)
    return f"{line}: {lift}" if lift else line


def compared_text(short: Short) -> str:
    """What was asked and how far a table goes, in the unit of the miss; "" for a bare rule."""
    if short.unit == "s":
        return f"wet after {duration_text(short.have)}, set after {duration_text(short.need)}"
    if short.unit == "K":
        return f"{degrees_text(short.have)}, its coldest row {degrees_text(short.need)}"
    if short.unit == "Pa":
        return f"asked {_psi(short.need)}, its last row {_psi(short.have)}"
    if short.unit == "m":
        return f"asked {inches_text(short.need)}, its last row {inches_text(short.have)}"
    return ""


def cure_text(times: JointTimes, clock: JointClock | None) -> str:
    """The whole answer for a person."""
    work, joint = times.working, times.joint
    opened, within = "", "before" if work.hotter else "within"
    if work.open_time is not None:
        low, high = work.open_time.low, work.open_time.high
        how_long = f"under {low:g} s" if work.hotter else f"{low:g} to {high:g} s"
        opened = f"; open time {how_long}{DOUBTFUL.get(work.open_time.status, '')}"
    rows = [
        ("bottomed " + within, f"{work.bottom_by:g} s of the last coat{opened}", ""),
        ("held by hand", f"{work.hand_hold:g} s (sheets say {work.hold.low:g} s and up)", ""),
        ("set, braces stay", duration_text(times.set.seconds), _at(clock, "braces_off", "until")),
        ("cure, no water", duration_text(times.cure.seconds), _at(clock, "water_on", "until")),
    ]
    lines = [
        f"cemented joint, {joint.size} in, by the {times.coldest}: {degrees_text(times.kelvin)}"
    ]
    lines += [f"  {name:<17} {text}{when}" for name, text, when in rows]
    lines += ["", *_why("set", times.set), *_why("cure", times.cure)]
    lines += ["", *(finding_text(f) for f in times.findings)]
    return "\n".join(lines)


def _at(clock: JointClock | None, name: str, word: str) -> str:
    if clock is None:
        return ""
    return f", {word} {clock_text(getattr(clock, name), clock.made_at)}"


def _why(name: str, longest: Longest) -> list[str]:
    factor = longest.factor
    times = f" x {factor.multiplier:g} for humid air ({factor.source})" if factor else ""
    lines = [f"  {name}: {duration_text(longest.reading.seconds)}{times}"]
    lines += [f"    {_reading(r)}" for r in longest.sources_differ.readings]
    lines += [f"    {s.where}: does not reach this cell" for s in longest.sources_differ.silent]
    return lines


def _reading(reading: Reading) -> str:
    row = reading.row
    return (
        f"{duration_text(row.seconds)} {cure_tables()[reading.table].words} "
        f"({row.source}{DOUBTFUL.get(row.status, '')})"
    )


def refusal_text(
    refusal: Refusal, instead: tuple[Method, ...], push: tuple[float, float] | None
) -> str:
    """Why it is not cemented, and what to do instead; ``push`` is pressure [Pa] and thrust [N]."""
    lines = ["not cemented:", *(f"  {short_text(s)}" for s in refusal.because), ""]
    lines += ["instead, with no cure to wait for:"]
    lines += [f"  {m.words}: {m.note}" for m in instead]
    block = "A cap or an end is blocked against thrust before the water comes on"
    if push is not None:
        pounds = math.ceil(push[1] / POUND_FORCE)
        block += f": {_psi(push[0])} pushes {pounds} lb on it"
    return "\n".join([*lines, f"! {block}."])
