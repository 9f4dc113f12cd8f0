"""Murray and Varley loops as textbooks work them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pitwright.cli.main import OK, run
from pitwright.wiring.distance import by_murray, by_varley, murray_share


@pytest.mark.published("Principles of Power System", "Ex. 11.21: P=45 Q=15, 300 m -> 150 m")
def test_murray_with_arms_of_45_and_15() -> None:
    assert by_murray(15, 45, 300.0).metres == pytest.approx(150.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.22: P=3Q, 500 m -> 250 m")
def test_murray_with_arms_three_to_one() -> None:
    assert by_murray(1, 3, 500.0).metres == pytest.approx(250.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.23: unequal conductors -> 433 m")
def test_murray_with_unequal_conductors() -> None:
    got = by_murray(1.0, 2.75, 500.0, bad_per_metre=1e-3, good_per_metre=2.25e-3)
    assert got.metres == pytest.approx(433.0, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.24: Varley, S=200 -> x 300 ohm, 15 km")
def test_varley_with_equal_arms() -> None:
    """Loop of 800 ohm at 20 ohm/km."""
    got = by_varley(800.0, 200.0, 20.0 / 1000.0)
    assert got.metres == pytest.approx(15_000.0, abs=0.5)


@pytest.mark.published("Hawkins Electrical Guide vol. 3", "fig. 597: A=332 of 1000 -> 1.09 mile")
def test_murray_on_a_slide_wire() -> None:
    loop_ohm, per_mile = 54.07, 16.46
    assert murray_share(332, 668) * loop_ohm / per_mile == pytest.approx(1.09, abs=0.005)


@pytest.mark.published("state utility exam 2021-07-30", "600 m, Q/P = 1/3 -> 300 m")
def test_murray_of_an_exam_paper() -> None:
    assert by_murray(1, 3, 600.0).metres == pytest.approx(300.0, abs=0.5)


def commanded(
    folder: Path, capsys: pytest.CaptureFixture[str], metres: float, gauge: int, *words: str
) -> float:
    """Metres by the command, on a route of four equal stretches; S1 in ``gauge``, S2 in 14."""
    boxes = "".join(
        f'[[box]]\nid = "B{n}"\nafter = "{f"B{n - 1}" if n > 1 else "controller"}"\n'
        f"length = {metres / 4}\n"
        for n in (1, 2, 3, 4)
    )
    stations = f'[[station]]\nid = "S1"\nbox = "B4"\ngauge = {gauge}\n'
    stations += '[[station]]\nid = "S2"\nbox = "B4"\ngauge = 14\n'
    file = folder / "cable.harness.toml"
    file.write_text(f'unit = "m"\n{boxes}{stations}', encoding="utf-8")
    asked = ["--distance", *words, "wire=S1", "with=S2"]
    assert run(["wire", str(file), "--json", *asked]) == OK
    return float(json.loads(capsys.readouterr().out)["distances"][0]["along_m"])


@pytest.mark.published("Principles of Power System", "Ex. 11.21, 11.22; exam 2021-07-30: as above")
@pytest.mark.parametrize(
    ("metres", "near", "far", "printed"),
    [(300, "15", "45", 150), (500, "1", "3", 250), (600, "1", "3", 300)],
)
def test_murray_through_the_command(
    metres: float, near: str, far: str, printed: float,
    tmp_path: Path, capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    words = ("murray", f"near_arm={near}", f"far_arm={far}")
    assert commanded(tmp_path, capsys, metres, 14, *words) == pytest.approx(printed, abs=0.5)


@pytest.mark.published("Principles of Power System", "Ex. 11.24: Varley, S=200 -> x 300 ohm, 15 km")
def test_varley_through_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The loop of 800 ohm at 20 ohm/km is 20 km of route; the loop itself tells the ohms per km."""
    words = ("varley", "loop=800", "balance=200")
    assert commanded(tmp_path, capsys, 20_000, 14, *words) == pytest.approx(15_000, abs=0.5)
