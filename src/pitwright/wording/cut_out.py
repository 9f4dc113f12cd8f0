"""What a new part that broke takes with it, in words."""

from __future__ import annotations

from collections.abc import Iterator

from pitwright.renewal.cut_out import CutOut
from pitwright.trains.cut_list import CutList, Piece
from pitwright.units.inches import Rounding, both_text

__all__ = ["LEFT_UNKNOWN", "cut_out_words", "item_names", "left_bare_text", "shows_hint"]

LEFT_UNKNOWN = (
    "Before it was {old}, and the new end does not lie on that straight: measure what is bare "
    "behind the new end, 0 where nothing is."
)


def item_names(cuts: CutList) -> Iterator[str]:
    """The pieces, bends and bodies from inlet to outlet; where two have one name, after what."""
    joints = cuts.joints
    for n, item in enumerate(cuts.items):
        plain = f"piece {item.letter}" if isinstance(item, Piece) else item.name
        same = sum(not isinstance(i, Piece) and i.name == plain for i in cuts.items) > 1
        yield f"{plain} after {joints[n].before}" if same else plain


def cut_out_words(cuts: CutList, out: CutOut, stubs: tuple[str, str]) -> str:
    """What is lost, what is cut through, which stub is cut back. Source: none needed."""
    names = list(item_names(cuts))
    lost = ", ".join(names[n] for n in out.again)
    if lost and not out.joints:
        return f"Not glued: make {lost} again."
    cut = [f"through piece {letter}" for letter, _ in out.back]
    cut += [f"{stubs[side]} back to sound pipe" for side in out.stubs]
    where = f" Cut {' and '.join(cut)}." if cut else ""
    return f"Glued: cement does not let go.{f' Of no more use: {lost}.' if lost else ''}{where}"


def shows_hint(depth: float) -> str:
    """How what is left of a piece is measured; ``depth`` of it is in a socket. [m]"""
    return f"from the socket it is glued in to its new end; {both_text(depth)} more is inside"


def left_bare_text(metres: float) -> str:
    """What is left of a bare straight, as it is typed, never longer than it is. [in]"""
    return both_text(metres, Rounding.NOT_LONGER).partition(" (")[0]
