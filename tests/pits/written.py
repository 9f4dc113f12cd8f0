"""Survey texts of whole pits, written section by section: inches, words as a person writes them."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["box", "heading", "obstacle", "pit", "section", "stub"]

Value = str | float | bool | Sequence[float | str] | dict[str, "Value"]


def section(head: str, **keys: Value) -> str:
    """One section: numbers are inches, lists are points or lengths, None-like "" is left out."""
    rows = [f"{key} = {_toml(value)}" for key, value in keys.items() if value != ""]
    return "\n".join([f"[{head}]", *rows, ""])


def _toml(value: Value) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    if isinstance(value, str | int | float):
        return f'"{value}"'
    return "[" + ", ".join(f'"{v}"' for v in value) + "]"


def heading(name: str) -> str:
    return section("pit", name=name, unit="in")


def box(
    across: tuple[float, float],
    along: tuple[float, float],
    *,
    grade: float = 10,
    floor: float = -5,
    soil_across: tuple[float, float] | None = None,
    soil_along: tuple[float, float] | None = None,
) -> str:
    """A box from left to right and from upstream to downstream, and the hole about it."""
    sides = ("left", "right", "upstream", "downstream")
    mouth: dict[str, Value] = dict(zip(sides, (*across, *along), strict=True))
    wide, far = soil_across or across, soil_along or along
    soil: dict[str, Value] = dict(zip(sides, (*wide, *far), strict=True))
    return section("box", mouth=mouth, soil=soil, grade=grade, floor=floor)


def stub(
    name: str,
    side: str,
    tip: Sequence[float],
    through: Sequence[float],
    *,
    bare: Sequence[float | str],
    cut_back: float = 0,
    pipe: str = "1 in schedule 40 PVC",
    condition: str = "sound",
    **more: Value,
) -> str:
    """A stub by its tip and a second point on it."""
    return section(
        f"stub.{name}", side=side, tip=tip, through=through, pipe=pipe, cut_back=cut_back,
        bare=bare, condition=condition, **more,
    )  # fmt: skip


def obstacle(name: str, kind: str, start: Sequence[float], end: Sequence[float], thick: float,
             **more: Value) -> str:  # fmt: skip
    return section(f"obstacle.{name}", kind=kind, start=start, end=end, thick=thick, **more)


def pit(*sections: str) -> str:
    """The whole text."""
    return "\n".join(sections)
