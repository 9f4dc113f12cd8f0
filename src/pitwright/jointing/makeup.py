"""Thread make-up: how far a thread goes in, by the part's own sheet or by the usual one to two.

Metal male into plastic female is refused, and so are two thread systems in one joint.
"""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.catalogue.parts import Dim
from pitwright.catalogue.threads import Thread
from pitwright.errors import OutOfRange, UnknownName
from pitwright.findings import COMMON_PRACTICE, Finding, Refusal, Short, SourceKey, Weight, finding
from pitwright.jointing.tables import rule

__all__ = ["MATERIALS", "MadeUp", "ThreadEnd", "make_up"]

MATERIALS = ("plastic", "metal")
OWN_SHEET = SourceKey("owner")


@dataclass(frozen=True, slots=True)
class ThreadEnd:
    """One threaded end: its thread and whether it is plastic or metal."""

    thread: Thread
    material: str

    def checked(self, where: str) -> ThreadEnd:
        """The same; raises UnknownName where the material is neither."""
        if self.material not in MATERIALS:
            raise UnknownName(where, self.material, MATERIALS, "thread material")
        return self


@dataclass(frozen=True, slots=True)
class MadeUp:
    """One threaded joint made up.

    ``turns`` past hand-tight, least and most, and ``hand_tight`` turns before them [-];
    ``engagement`` length inside, gauge and wrench scatter in it [m]; ``stop_every`` how far one
    more whole turn goes in, which is what facing a body up costs [m].
    """

    turns: tuple[float, float]
    hand_tight: float
    engagement: Dim
    stop_every: float
    source: SourceKey
    findings: tuple[Finding, ...]


def make_up(
    male: ThreadEnd, female: ThreadEnd, sheet: tuple[float, float] | None = None
) -> MadeUp | Refusal:
    """How one thread is made up, or why it may not be joined.

    Parameters
    ----------
    male, female : ThreadEnd
    sheet : tuple of float or None
        Least and most turns past hand-tight of the part's own sheet, 1/4 to 3. [-]

    Raises OutOfRange, UnknownName. Source: [ASME-B1.20.1]; turns by the sheet, else the shelf's.
    """
    male.checked("male thread")
    female.checked("female thread")
    because = _forbidden(male, female)
    if because:
        return Refusal(because)
    thread = male.thread
    turns = thread.turns if sheet is None else _by_sheet(sheet)
    least, most = turns
    slack = thread.hand_tight_scatter
    inside = Dim(
        thread.made_up((least + most) / 2),
        thread.made_up(least) - slack,
        thread.made_up(most) + slack,
        thread.source,
        "derived",
    )
    found = [finding("measure-made-up-unit", Weight.CHECK, numbers={"within": _half(inside)})]
    if sheet is None:
        numbers = {"least": least, "most": most}
        found.append(finding("turns-by-usual", Weight.CHECK, numbers=numbers))
    if male.material == "plastic" and female.material == "metal":
        found.append(finding("plastic-into-metal", Weight.NOTE))
    source = COMMON_PRACTICE if sheet is None else OWN_SHEET
    hand_tight = thread.L1 / thread.pitch
    return MadeUp(turns, hand_tight, inside, thread.pitch, source, tuple(found))


def _half(dim: Dim) -> float:
    return (dim.high - dim.low) / 2


def _by_sheet(sheet: tuple[float, float]) -> tuple[float, float]:
    least, most = rule("least_turns").value, rule("most_turns").value
    if not least <= sheet[0] <= sheet[1] <= most:
        got = f"{sheet[0]:g} to {sheet[1]:g}"
        hint = "read the part's own sheet again, the smaller number first"
        raise OutOfRange("turns past hand-tight", got, f"{least:g}", f"{most:g}", hint)
    return sheet


def _forbidden(male: ThreadEnd, female: ThreadEnd) -> tuple[Short, ...]:
    a, b = male.thread, female.thread
    where, shorts = "the thread", []
    if male.material == "metal" and female.material == "plastic":
        tried = "metal male into plastic female"
        shorts.append(Short("METAL_INTO_PLASTIC", where, 0.0, 1.0, 1.0, "1", "plastic_male", tried))
    if a.system != b.system:
        tried = f"{a.system} into {b.system}"
        shorts.append(
            Short("THREAD_SYSTEMS", where, 0.0, 1.0, 1.0, "1", "one_thread_system", tried)
        )
    elif a.size != b.size:
        tried = f"{a.size} into {b.size}"
        shorts.append(Short("THREAD_SIZES", where, 0.0, 1.0, 1.0, "1", "thread_bushing", tried))
    return tuple(shorts)
