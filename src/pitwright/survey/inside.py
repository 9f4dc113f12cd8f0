"""What a look inside an old valve showed: shell, seat, bolts, diaphragm, coil."""

from __future__ import annotations

from dataclasses import dataclass

from pitwright.errors import Malformed
from pitwright.survey.section import Section

__all__ = ["INSIDES", "Inside", "read_inside"]

INSIDES = ("diaphragm", "seat", "bolts", "coil")
"""What can be renewed in a body that stays, in the order it comes out."""
_SHELL = ("sound", "cracked", "not looked at")
_STATES = {
    "diaphragm": ("sound", "worn", "not looked at"),
    "seat": ("sound", "worn", "not looked at"),
    "bolts": ("sound", "worn", "stripped", "not looked at"),
    "coil": ("sound", "worn", "not looked at"),
}


@dataclass(frozen=True, slots=True)
class Inside:
    """What was seen with the bonnet off.

    ``shell`` is the body's own plastic; ``model`` what is printed on it, empty when nobody can
    tell; ``states`` pairs each of :data:`INSIDES` with "sound", "worn", "not looked at" or, for
    bolts, "stripped" (their thread in the body is gone); ``in_hand`` are those there is a new one
    of.
    """

    shell: str
    model: str
    states: tuple[tuple[str, str], ...]
    in_hand: tuple[str, ...]

    def state(self, of: str) -> str:
        """How one of the insides was found. Raises KeyError."""
        return dict(self.states)[of]


def read_inside(section: Section) -> Inside:
    """The section [existing.NAME.inside]. Raises Malformed and those of a choice."""
    value = section.table.get("in_hand", [])
    if not isinstance(value, list) or any(v not in INSIDES for v in value):
        hint = 'write it as ["diaphragm", "coil"]'
        raise Malformed(
            section.at("in_hand"), value, f"must be a list of {', '.join(INSIDES)}", hint
        )
    return Inside(
        section.choice("shell", _SHELL, "not looked at"),
        section.text("model"),
        tuple((k, section.choice(k, _STATES[k], "not looked at")) for k in INSIDES),
        tuple(k for k in INSIDES if k in value),
    )
