"""``pitwright offset`` as people and machines use it."""

from __future__ import annotations

import json
import re
import shlex
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from pitwright.cli.main import run

DOCS = Path(__file__).resolve().parents[2] / "docs"


def said(capsys: pytest.CaptureFixture[str], line: str) -> tuple[int, str, str]:
    code = run(["offset", *shlex.split(line)])
    out, err = capsys.readouterr()
    return code, out, err


def answer(capsys: pytest.CaptureFixture[str], line: str) -> dict[str, object]:
    code, out, err = said(capsys, f"{line} --json")
    assert (code, err) == (0, "")
    document: dict[str, object] = json.loads(out)
    return document


def test_the_example_of_the_docs_prints_what_the_docs_show(
    capsys: pytest.CaptureFixture[str],
) -> None:
    page = (DOCS / "commands.md").read_text(encoding="utf-8")
    block = re.search(r"```\n\$ pitwright offset (.*?)\n(.*?)```", page, re.DOTALL)
    assert block is not None
    code, out, _ = said(capsys, block[1])

    assert code == 0
    assert out == block[2]


def test_every_key_of_the_document_is_in_the_docs(capsys: pytest.CaptureFixture[str]) -> None:
    page = (DOCS / "json.md").read_text(encoding="utf-8").partition("## pitwright-offset-1")[2]
    line = "--offset 12 --angle 45 --takeout 1 --depth 1 --run 30 --spacing 3"
    document = answer(capsys, line)
    inner = [*document["runs"], *document["pipes"]]  # type: ignore[misc]
    keys = {*document, *(key for part in inner for key in part)}
    _, refused, _ = said(capsys, "--offset 1 --angle 45 --takeout 1 --depth 1 --json")
    keys |= set(json.loads(refused)["refused"][0])

    assert sorted(key for key in keys if f"`{key}`" not in page) == []


def test_a_cut_carries_the_limits_of_its_readings(capsys: pytest.CaptureFixture[str]) -> None:
    """12 +- 1/8 through two 45s, two take-outs of 1 +- 1/16: by hand 1.414/8 + 2/16 each way."""
    document = answer(capsys, '--offset "12 +- 1/8" --angle 45 --takeout "1 +- 1/16"')
    half = (2**0.5 / 8 + 1 / 8) * 0.0254

    assert document["cut_low_m"] == pytest.approx(document["cut_m"] - half)  # type: ignore[operator]
    assert document["cut_high_m"] == pytest.approx(document["cut_m"] + half)  # type: ignore[operator]


def test_a_refusal_has_its_own_exit_code_and_says_what_is_missing(
    capsys: pytest.CaptureFixture[str],
) -> None:
    code, out, err = said(capsys, "--offset 1.5 --angle 45 --takeout 15/32 --depth 1-1/16")

    assert (code, err) == (3, "")
    assert "no piece fits" in out
    assert "need 3 3/16 in (81 mm)" in out
    assert "What would lift it" in out


def test_a_bend_no_fitting_has_names_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = said(capsys, "--offset 12 --travel 20")

    assert "No fitting bends by 36.87°. The nearest, 30°," in out
    assert "travel of 24 in (610 mm)" in out


def test_pipes_side_by_side(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = said(capsys, "--offset 20 --angle 45 --spread 8 --pipes 3")

    assert "3 pipes side by side, kept 8 in (203 mm) apart" in out
    assert "later by 3 5/16 in (84 mm)" in out
    assert "later by 6 5/8 in (168 mm)" in out


def test_millimetres_in_and_two_different_fittings(capsys: pytest.CaptureFixture[str]) -> None:
    line = "--offset 300 --angle 90 --takeout 20 --takeout 25 --unit mm"
    document = answer(capsys, line)

    assert document["cut_m"] == pytest.approx(0.255)


def test_offset_is_the_roll_only_beside_a_rise(capsys: pytest.CaptureFixture[str]) -> None:
    plain = answer(capsys, "--offset 12 --angle 45")
    rolling = answer(capsys, "--offset 12 --rise 5 --angle 45")
    by_true = answer(capsys, "--true-offset 13 --rise 5 --angle 45")

    assert plain["kind"] == "plain"
    assert rolling["true_offset_m"] == pytest.approx(13 * 0.0254)
    assert by_true["roll_m"] == pytest.approx(12 * 0.0254)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("", "offset is missing"),
        ("--offset 12", "give two of"),
        ("--offset 12 --angle 44", 'must be a standard bend (11.25, 22.5, 30, 45, 60, 72, 90)'),
        ("--offset 12 --angle 45in", "--angle must be in a unit of angle"),
        ("--offset 12psi --angle 45", "--offset must be in a unit of length"),
        ("--offset x --angle 45", '(got "x")'),
        ("--offset 0 --angle 45", "--offset must be"),
        ("--offset 99999999 --angle 45", "--offset must be"),
        ("--offset 12 --roll 3 --angle 45", "says the same as --roll"),
        ("--offset 12 --angle 45 --travel 18", "does not agree with 17 in (432 mm)"),
        ("--offset 12 --angle 45 --depth 1", "--takeout is missing"),
        ("--offset 12 --angle 45 --pipes 3", "--spacing is missing"),
        ("--offset 12 --angle 45 --spacing 3 --pipes 1", "--pipes must be 2 to 50"),
        ("--offset 12 --angle 45 --spacing 3 --pipes ٣", "--pipes must be 2 to 50"),
        ("--offset 12 --angle 45 --run 3", "run must be at least"),
        ("--offset 12 --angle 45 --takeout 1 --takeout 1 --takeout 1", "--takeout must be"),
    ],
)  # fmt: skip
def test_what_cannot_be_used_gets_one_clear_line(
    capsys: pytest.CaptureFixture[str], line: str, words: str
) -> None:
    code, out, err = said(capsys, line)

    assert (code, out) == (2, "")
    assert words in err
    assert err.count("\n") == 1


OPTIONS = """offset rise roll true-offset travel advance angle takeout depth spacing pipes
run""".split()  # noqa: SIM905
typed = st.one_of(
    st.text(max_size=12).filter(lambda t: not t.startswith("-")),
    st.sampled_from(["12", "4 3/8", "1 ft 2", "0", "1e9", "45", "90", "12 +- 13", "3-4", "0.02"]),
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.dictionaries(
        st.sampled_from(OPTIONS),
        typed,
        max_size=6,
    )
)
@example({"offset": "12 +- 12", "angle": "45", "takeout": "1"})
@example({"true-offset": "3-4", "rise": "3", "angle": "45", "takeout": "0"})
def test_anything_typed_is_an_answer_a_refusal_or_one_line(
    capsys: pytest.CaptureFixture[str], options: dict[str, str]
) -> None:
    argv = [word for name, text in options.items() for word in (f"--{name}", text)]
    code = run(["offset", *argv, "--json"])
    out, err = capsys.readouterr()

    assert code in (0, 2, 3)
    assert (code == 2) == (out == "")
    assert err.count("\n") == (1 if code == 2 else 0)


def test_level_pipes_beside_a_rolling_offset_lean_less(capsys: pytest.CaptureFixture[str]) -> None:
    """3-4-5: the row leans by 36.87 degrees, so the stagger is 4/5 of the plain one."""
    plain = answer(capsys, "--offset 5 --angle 45 --spacing 6")
    rolling = answer(capsys, "--roll 4 --rise 3 --angle 45 --spacing 6")
    first, second = (document["pipes"][1]["later_m"] for document in (plain, rolling))  # type: ignore[index]

    assert second == pytest.approx(0.8 * first)
