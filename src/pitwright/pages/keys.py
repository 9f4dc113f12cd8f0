"""What is measured at a pit, section by section, and how each value is typed on a page.

A value is kept as a person types it ("6; 18 down", "left -5, right 7, upstream -4, downstream
16"); here it becomes the value that a survey file has. What no form of ours asks for is kept as
the file has it, in brackets.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from pitwright.errors import BadInput, Malformed
from pitwright.pages.app_words import in_app
from pitwright.survey.obstacles import KINDS_OF_OBSTACLE, SHAPES
from pitwright.survey.stubs import BEHIND

__all__ = [
    "FORMS",
    "KINDS_OF_PART",
    "NAMED",
    "SECTIONS",
    "Key",
    "key_of",
    "literal",
    "spoken",
    "trouble_of",
]

NAMED = ("stub", "valve", "zone", "existing", "obstacle", "part")
"""Sections of which there may be several, each with a name."""
SECTIONS = ("pit", "tools", "points", "box", *NAMED, "header", "conditions", "water", "preferences")
KINDS_OF_PART = (
    *("elbow", "coupling", "tee", "adapter male", "adapter female", "union", "bushing", "reducer"),
    *("street elbow", "sweep elbow", "telescoping coupling", "stopless coupling"),
    *("through coupling", "compression coupling", "push-fit coupling", "cap", "cross", "saddle"),
)
"""What may be measured of the shelf's fittings, the usual ones first."""
_WALLS = ("left", "right", "upstream", "downstream")
_SOUND = ("sound", "old", "sun-struck", "chalky", "cracked")
_ENDS = ("pipe", "socket", "male thread", "female thread")


@dataclass(frozen=True, slots=True)
class Key:
    """One value of a section: its name, its words, how it is typed, whether it must be there.

    ``form``: text, choice, length, depth (a length down), point, direction, bare, walls, flag,
    stub, valve, pipe, size, measured, flow, number.
    """

    name: str
    label: str
    form: str = "text"
    needed: bool = False
    choices: tuple[str, ...] = ()
    hint: str = ""


def _key(
    name: str,
    label: str,
    form: str = "text",
    *,
    need: bool = False,
    of: tuple[str, ...] = (),
    hint: str = "",
) -> Key:
    return Key(name, label, form, need, of, hint)


FORMS: Mapping[str, tuple[Key, ...]] = {
    "pit": (
        _key(
            "unit",
            "Unit of a length without one",
            "choice",
            need=True,
            of=("in", "ft", "mm", "cm", "m"),
        ),
        _key("downstream", "Downstream is", hint="in words, such as: toward the shed"),
        _key(
            "datum",
            "Where you measure from",
            hint="a point you find again: middle of the feed's open end",
        ),
        _key("opened", "Opened"),
        _key("note", "Note"),
    ),
    "box": (
        _key(
            "mouth",
            "The four walls at the mouth",
            "walls",
            need=True,
            hint="from the datum to each; no sign needed",
        ),
        _key("grade", "Ground above the datum", "length", need=True),
        _key("floor", "Gravel below the datum", "depth", need=True, hint="no sign needed"),
        _key("bottom", "The walls at the pipes", "walls", hint="those wider than the mouth"),
        _key("soil", "Soil dug away as far as", "walls", hint="only where farther than the box"),
    ),
    "stub": (
        _key(
            "side", "Water comes in or goes out here", "choice", need=True, of=("inlet", "outlet")
        ),
        _key("tip", "Middle of its open end", "point", need=True),
        _key(
            "faces",
            "Its open end looks",
            "direction",
            hint="downstream, 2 deg right, 1 deg up; or give the second point",
        ),
        _key(
            "through",
            "A second point on the same pipe",
            "point",
            hint="as far from the end as you reach: the surest way to say which way it looks",
        ),
        _key(
            "pipe",
            "Pipe",
            "pipe",
            need=True,
            hint="as you say it or as it is printed: 1 in sch 40, 1 in class 200; or unknown",
        ),
        _key(
            "measured",
            "Its outside as measured",
            "measured",
            hint="where the pipe is unknown: around 4 1/8, across 1 5/16 or calliper 1.315",
        ),
        _key(
            "cut_back",
            "It may be cut back by",
            "length",
            need=True,
            hint="0 where a fitting sits right behind",
        ),
        _key(
            "bare",
            "Bare pipe behind it",
            "bare",
            hint="the straight to the next elbow or the soil; then 18 down after a semicolon",
        ),
        _key("condition", "Its condition", "choice", of=_SOUND),
        _key("end", "Its end is", "choice", of=_ENDS),
        _key("end_size", "Size of its end", "size", hint="of a socket or a thread"),
        _key("behind", "What its first straight ends in", "choice", of=BEHIND),
        _key(
            "seeps",
            "Water seeps from it",
            "flow",
            hint="20 drips a minute, 2 tablespoons a minute, a cup an hour, 40 mL/min",
        ),
        _key(
            "proved_dry",
            "Since then the shut-off was proved dry",
            "flag",
            hint="the seep stays on record and is not planned with: look again before each joint",
        ),
        _key("relief", "Its relief end", "point", hint="a low test hole, drain or union"),
        _key("relief_bore", "The relief end opens", "length", hint="its clear bore"),
        _key("held", "Its bends are tied or blocked", "flag"),
        _key("soil", "Its soil, if another than the pit's", hint="clamp, or firm sand"),
        _key("note", "Note"),
    ),
    "valve": (
        _key("body", "Body, face to face", "length", need=True),
        _key("ends", "Its ends", "choice", need=True, of=("female thread", "socket")),
        _key("size", "Size of its ends", "size", need=True),
        _key(
            "made_up",
            "Made-up length with both adapters",
            "length",
            hint="socket bottom to socket bottom, measured on the bench",
        ),
        _key("width", "Width over all", "length"),
        _key("below", "From the axis down", "length"),
        _key("height", "From the axis up", "length"),
        _key("swing", "Radius it sweeps when spun on", "length"),
        _key("swing_bare", "Radius it sweeps with its bonnet off", "length"),
        _key("union_ends", "Both its ends are unions", "flag"),
        _key("note", "Note"),
    ),
    "zone": (
        _key("name", "Name of the zone"),
        _key("inlet", "Water comes in by", "stub", need=True),
        _key("outlet", "Water goes out by", "stub", need=True),
        _key("valve", "New valve", "valve"),
        _key("shut_off", "Shut-off that may go in ahead of the old valve", "valve"),
        _key("join", "Join without a valve", "flag"),
        _key("note", "Note"),
    ),
    "header": (
        _key("feed", "The stub that brings the water", "stub", need=True),
        _key("zones", "Zones that hang on it", "names", need=True, hint="hedge, beds"),
        _key("size", "Size of the new header", "size", hint="the feed's if left out"),
        _key("shut_off", "Valve that becomes its shut-off", "valve"),
        _key("goes", "What comes out with the old header", "names", hint="names of obstacles"),
    ),
    "obstacle": (
        _key("kind", "What it is", "choice", need=True, of=KINDS_OF_OBSTACLE),
        _key("shape", "Its shape", "choice", of=SHAPES, hint="a box and a cylinder have flat ends"),
        _key("start", "One end of it", "point", need=True),
        _key("end", "The other end", "point", need=True, hint="a rock may have one end only"),
        _key("thick", "Thickness", "length", need=True, hint="of all but a box"),
        _key("wide", "Width of a box", "length", hint="level, across its axis"),
        _key("high", "Height of a box", "length", hint="square to its axis and width"),
        _key("clear", "Room to keep", "length"),
        _key("note", "Note"),
    ),
    "part": (
        _key("kind", "What it is", "choice", need=True, of=KINDS_OF_PART),
        _key("size", "Its size", "size", need=True),
        _key(
            "angle", "It turns by", "number", of=("90", "45", "22.5"), hint="degrees; of an elbow"
        ),
        _key("schedule", "Its schedule", "choice", of=("40", "80"), hint="40 if left out"),
        _key(
            "takeout",
            "Centre to the socket's bottom",
            "length",
            hint="its take-out: measure two, and give what lies between as 1 1/4 +- 1/32",
        ),
        _key("depth", "Depth of its socket", "length"),
        _key("collapsed", "Length pushed together", "length", hint="of a telescoping coupling"),
        _key("stroke", "It draws out by", "length", hint="of a telescoping coupling"),
        _key("overall", "Whole length", "length", hint="of a stop-less coupling"),
        _key("note", "Note"),
    ),
    "preferences": (
        _key("blocks", "Bends will be tied or blocked", "flag", hint="against what water pushes"),
        _key("most_bends", "At most so many bends", "number", of=("0", "1", "2", "3", "4")),
        _key("bends_22", "22-1/2 degree bends are at hand", "flag"),
        _key("unions", "A union beside every valve", "flag"),
        _key("gap", "Pipe left bare between two sockets", "length", hint="at least 1/8"),
        _key("cut_within", "A cut is made within", "length", hint="plus or minus 1/32"),
    ),
    "conditions": (
        _key("air", "Air", hint="58 F or 14 C"),
        _key("pipe", "Pipe surface"),
        _key("ground", "Ground"),
        _key("soil", "Soil around old pipe", hint="loose sand, stiff clay or 500 psi"),
        _key("humidity", "Humidity", hint="70 %"),
        _key(
            "cement",
            "Cement by its label",
            "choice",
            of=("regular", "medium", "heavy", "fast", "wet"),
        ),
        _key("now", "Day and hour"),
        _key("note", "Note"),
    ),
}
_TOOLS = ("calliper", "across", "around", "string", "wall", "bore", "material", "colour")
_OUTSIDE = re.compile(rf"\b({'|'.join(_TOOLS)})\b\s*([^,;]*)")
_WALL = re.compile(rf"\b({'|'.join(_WALLS)})\b\s*([^,;]*)")


def key_of(section: str, name: str) -> Key | None:
    """What our forms know of a key."""
    return next((k for k in FORMS.get(section, ()) if k.name == name), None)


def literal(section: str, name: str, typed: str) -> str:
    """The value as a survey file has it.

    Raises Malformed naming the key when brackets do not hold a value.
    """
    said = typed.strip()
    if said[:1] in ("[", "{"):
        return _checked(f"{section}.{name}", said)
    key = key_of(section, name)
    form = key.form if key else ""
    if not key and said[:1] == '"':
        return _checked(f"{section}.{name}", said)
    if form == "flag" or (not key and said in ("true", "false")):
        return "true" if said in ("yes", "true") else "false"
    if form == "point" or section == "points":
        parts = [p.strip() for p in re.split(r"[;,]", said)]
        if len(parts) == 3 and not said.startswith(("from ", "start ")) and not _steps(said):
            return _list(parts)
    if form == "bare":
        return _list([p.strip() for p in said.split(";") if p.strip()])
    if form == "names":
        return _list([p.strip() for p in said.split(",") if p.strip()])
    if form == "measured":
        told = {m[1]: m[2].strip() for m in _OUTSIDE.finditer(said)}
        if told:
            return f"{{ {', '.join(f'{k} = {_quoted(v)}' for k, v in told.items() if v)} }}"
    if form == "walls":
        found = {m[1]: m[2].strip() for m in _WALL.finditer(said)}
        if found:
            return f"{{ {', '.join(f'{k} = {_quoted(v)}' for k, v in found.items() if v)} }}"
    plain = not key or form == "number"
    return said if plain and _number(said) else _quoted(said)


def _steps(said: str) -> bool:
    return bool(re.search(r"\b(right|left|up|down|upstream|downstream)\b", said))


def _number(said: str) -> bool:
    return bool(re.fullmatch(r"[-+]?\d+(\.\d+)?", said))


def _checked(where: str, said: str) -> str:
    one_line = " ".join(said.split())
    try:
        tomllib.loads(f"x = {one_line}")
    except (tomllib.TOMLDecodeError, RecursionError, ValueError) as why:
        raise Malformed(
            where, typed_short(said), "holds brackets that do not close", str(why)[:80]
        ) from None
    return one_line


def typed_short(said: str) -> str:
    """The beginning of what was typed."""
    return said if len(said) < 60 else f"{said[:59]}…"


def _quoted(text: str) -> str:
    plain = "".join(c for c in text if c.isprintable() or c in "\n\t")
    return json.dumps(plain, ensure_ascii=False)


def _list(parts: list[str]) -> str:
    return f"[{', '.join(_quoted(p) for p in parts)}]"


def spoken(section: str, name: str, value: Any) -> str:
    """A value of a survey file as a person types it: the reverse of :func:`literal`."""
    if isinstance(value, str):
        key = key_of(section, name)
        like_another = _number(value) or value in ("true", "false") or value[:1] in ('"', "[", "{")
        return _quoted(value) if key is None and like_another else value
    if isinstance(value, bool):
        words = ("true", "false") if key_of(section, name) is None else ("yes", "no")
        return words[not value]
    form = getattr(key_of(section, name), "form", "")
    texts = isinstance(value, list) and all(isinstance(v, str | int | float) for v in value)
    if texts and not isinstance(value, str) and form in ("point", "bare"):
        return ("; " if form == "bare" else ", ").join(str(v) for v in value)
    if texts and form == "names" and not any("," in str(v) for v in value):
        return ", ".join(str(v) for v in value)
    plain = isinstance(value, dict) and all(isinstance(v, str) for v in value.values())
    if plain and form == "measured" and set(value) <= set(_TOOLS):
        return ", ".join(f"{k} {v}" for k, v in value.items())
    if isinstance(value, dict) and form == "walls" and set(value) <= set(_WALLS):
        return ", ".join(f"{k} {v}" for k, v in value.items())
    return _toml(value)


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        inner = ", ".join(f"{_quoted(str(k))} = {_toml(v)}" for k, v in value.items())
        return f"{{ {inner} }}"
    if isinstance(value, list):
        return f"[{', '.join(_toml(v) for v in value)}]"
    return _quoted(value) if isinstance(value, str) else repr(value)


def trouble_of(mistake: BadInput) -> str:
    """A mistake as a line for its field: what came, what is allowed, what to do."""
    got = "" if mistake.got in (None, "") else f"“{mistake.got}” "
    end = "" if mistake.hint.endswith(("?", ".", ")")) and "?" in mistake.hint else "."
    return in_app(f"{got}{mistake.rule}: {mistake.hint}{end}")
