"""The house rules that hold for every module: floors, imports, clocks."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

from tests.house.floors import FLOOR, NO_CLOCK_UP_TO, STDLIB_ONLY_UP_TO
from tests.house.reading import SRC, room_of, sources


def modules() -> list[Path]:
    return [p for p in sources() if room_of(p) not in ("__init__", "__main__")]


def imported(path: Path) -> list[tuple[str, int]]:
    """Dotted names imported anywhere in the file, hidden imports included."""
    names: list[tuple[str, int]] = []
    package = ("pitwright", *path.relative_to(SRC).parts[:-1])
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names += [(alias.name, node.lineno) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                up = package[: len(package) - node.level + 1]
                base = ".".join((*up, base)) if base else ".".join(up)
            if base == "pitwright":
                names += [(f"pitwright.{alias.name}", node.lineno) for alias in node.names]
            else:
                names.append((base, node.lineno))
    return names


def test_every_room_has_a_floor() -> None:
    """A new room is entered in the plan before it is built."""
    assert {room_of(p) for p in modules()} - FLOOR.keys() == set()


def test_rooms_import_only_from_lower_floors() -> None:
    """Siblings never meet, nobody looks upstairs."""
    wrong = []
    for path in modules():
        room = room_of(path)
        for name, line in imported(path):
            if not name.startswith("pitwright."):
                continue
            other = name.split(".")[1]
            if other == "__version__":
                continue
            if other != room and FLOOR[other] >= FLOOR[room]:
                wrong.append(f"{path.relative_to(SRC)}:{line} {room} imports {other}")
    assert wrong == []


def test_nobody_inside_imports_the_package_root_for_anything_but_its_version() -> None:
    wrong = [
        f"{path.relative_to(SRC)}:{line}"
        for path in modules()
        for name, line in imported(path)
        if name == "pitwright"
    ]
    assert wrong == []


def test_the_engine_floors_use_the_standard_library_alone() -> None:
    """Floors 1 to 6 must run in a terminal, on a server and in a phone's browser alike."""
    wrong = []
    for path in modules():
        if FLOOR[room_of(path)] > STDLIB_ONLY_UP_TO:
            continue
        for name, line in imported(path):
            top = name.split(".")[0]
            if top != "pitwright" and top not in sys.stdlib_module_names:
                wrong.append(f"{path.relative_to(SRC)}:{line} imports {name}")
    assert wrong == []


CLOCKS_AND_DICE = {
    ("time", "time"),
    ("time", "monotonic"),
    ("time", "localtime"),
    ("datetime", "now"),
    ("datetime", "today"),
    ("datetime", "utcnow"),
    ("date", "today"),
    ("os", "environ"),
    ("os", "getenv"),
    ("random", "random"),
    ("random", "randint"),
    ("random", "gauss"),
    ("random", "choice"),
    ("random", "shuffle"),
    ("random", "uniform"),
    ("secrets", "token_hex"),
    ("secrets", "token_bytes"),
    ("uuid", "uuid4"),
}


def test_no_clock_environment_or_global_dice_below_the_doors() -> None:
    """Same input, same output: what changes by itself is an argument."""
    wrong = []
    for path in modules():
        if FLOOR[room_of(path)] > NO_CLOCK_UP_TO:
            continue
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Attribute)
                and isinstance(node.value, ast.Name)
                and (node.value.id, node.attr) in CLOCKS_AND_DICE
            ):
                wrong.append(f"{path.relative_to(SRC)}:{node.lineno} {node.value.id}.{node.attr}")
            if (
                isinstance(node, ast.ImportFrom)
                and node.module in ("time", "random", "os", "secrets", "uuid")
                and any((node.module, alias.name) in CLOCKS_AND_DICE for alias in node.names)
            ):
                wrong.append(f"{path.relative_to(SRC)}:{node.lineno} from {node.module}")
    assert wrong == []
