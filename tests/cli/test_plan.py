"""``pitwright plan`` at the terminal: exit codes, files, and one clear message for each mistake."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pitwright.cli.main import run

ROOT = Path(__file__).resolve().parents[2]
GARDEN = ROOT / "examples" / "school-garden.pit.toml"
TEXT = GARDEN.read_text(encoding="utf-8")
PLANNED = TEXT[: TEXT.index("[zone.gate]")] + TEXT[TEXT.index("# ---- what else lies there") :]
"""The garden without the zone that is refused."""


def command(*args: str, folder: Path | None = None) -> subprocess.CompletedProcess[str]:
    """The real command in a process of its own."""
    return subprocess.run(
        [sys.executable, "-m", "pitwright", *args],
        capture_output=True,
        text=True,
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        timeout=60,
        check=False,
    )


def survey(folder: Path, text: str | bytes = TEXT) -> str:
    path = folder / "a.pit.toml"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return str(path)


def test_every_zone_planned_is_exit_0_and_a_refused_one_is_exit_3(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(["plan", survey(tmp_path, PLANNED)]) == 0
    assert "refused" not in capsys.readouterr().out
    assert run(["plan", survey(tmp_path)]) == 3
    assert "refused" in capsys.readouterr().out


def test_json_is_one_document_and_nothing_else(tmp_path: Path) -> None:
    got = command("plan", survey(tmp_path), "--json")
    assert (got.returncode, got.stderr) == (3, "")
    assert json.loads(got.stdout)["schema"] == "pitwright-plan-1"


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_out_holds_the_whole_plan_and_the_same_bytes_each_time(tmp_path: Path, paper: str) -> None:
    out = tmp_path / "new" / "out"
    before = None
    for _ in range(2):
        assert run(["plan", survey(tmp_path), "--out", str(out), "--paper", paper]) == 3
        files = {p.name: p.read_bytes() for p in out.iterdir()}
        assert before in (None, files)
        before = files
    assert before is not None
    assert sorted(before) == ["pit-sheet.pdf", "plan.json", "plan.svg", "plan.txt"]
    assert before["pit-sheet.pdf"].startswith(b"%PDF-")
    assert json.loads(before["plan.json"])["pit"] == "School garden, north gate"


def once(old: str, new: str) -> str:
    assert old in TEXT
    return TEXT.replace(old, new, 1)


def value(section: str, key: str) -> str:
    """What the example has under a key, as written."""
    found = re.search(rf"(?ms)^\[{re.escape(section)}\]\n.*?^{key} = ([^\n]*)", TEXT)
    assert found is not None, (section, key)
    return found[1]


def changed(section: str, key: str, new: str | None) -> str:
    """The example with one value changed, or its line gone."""
    head, start, rest = TEXT.partition(f"[{section}]\n")
    line = f"{key} = {value(section, key)}\n"
    return head + start + rest.replace(line, f"{key} = {new}\n" if new is not None else "", 1)


NEW_PIPE = '"1 in schedul 40 PVC"'
AT_THE_TIP = value("stub.hedge-out", "tip")
AT_THE_BEDS = value("stub.beds-out", "tip")

BAD: dict[str, tuple[str | bytes, str, str]] = {
    "TOML fault": (once("[pit]", "[pit"), "must be TOML", ":4"),
    "a quote that never ends": (changed("pit", "unit", '"in'), "must be TOML", ":6"),
    "wrong unit": (changed("stub.beds-in", "cut_back", '"1 psi"'), "unit of length", "1 psi"),
    "no length at all": (changed("stub.beds-in", "bare", '["2 x/4"]'), "beds-in.bare.0", "2 x/4"),
    "missing reading": (changed("box", "grade", None), "box.grade is missing", "measure it"),
    "missing tip": (changed("stub.beds-in", "tip", None), "stub.beds-in.tip is missing", ""),
    "unknown pipe": (changed("stub.beds-in", "pipe", NEW_PIPE), "1 in schedule 40 PVC", "did you"),
    "zero direction": (changed("stub.hedge-in", "faces", "[0, 0, 0]"), "stub.hedge-in.faces", ""),
    "second point at the tip": (
        changed("stub.hedge-out", "through", AT_THE_TIP),
        "stub.hedge-out.through",
        "",
    ),
    "stub outside the box": (
        changed("stub.beds-in", "tip", '["4", "-39", "0"]'),
        "stub.beds-in.tip must lie inside the box",
        "-39",
    ),
    "absurd length": (changed("box", "grade", '"900 ft"'), "box.grade must be", "900 ft"),
    "a name twice": (once("[stub.hedge-out]", "[stub.hedge-in]"), "must have every name once", ""),
    "names alike": (once("[stub.hedge-out]", "[stub.Hedge-In]"), "hedge-in", "capitals"),
    "two stubs at one place": (
        changed("stub.drip-out", "tip", AT_THE_BEDS),
        'must not stand where stub "beds-out" stands',
        "",
    ),
    "valve without a body": (
        changed("valve.globe", "body", None),
        "valve.globe.body is missing",
        "",
    ),
    "unknown key": (once("downstream =", "downsteam ="), "did you mean downstream", ""),
    "unknown stub": (changed("zone.beds", "inlet", '"bed-in"'), "did you mean beds-in", ""),
    "unknown valve": (changed("zone.beds", "valve", '"globes"'), "did you mean globe", ""),
    "unknown unit": (changed("pit", "unit", '"yard"'), "pit.unit", "yard"),
    "empty": ("", "must not be empty", "pitwright survey new"),
    "not UTF-8": (TEXT.replace("weep", "w\xe9\xe9p").encode("latin-1"), "must be UTF-8", "0xe9"),
    "NUL": (once("weep", "we\0ep"), "NUL", ""),
    "deep nesting": ("a = " + "[" * 3000 + "]" * 3000, "nested so deeply", ""),
}


@pytest.mark.parametrize("name", sorted(BAD))
def test_bad_input_is_one_message_exit_2_and_nothing_written(
    name: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text, *said = BAD[name]
    file = survey(tmp_path, text)
    assert run(["plan", file, "--out", str(tmp_path / "out")]) == 2
    got = capsys.readouterr()
    assert got.out == ""
    assert got.err.count("\n") == 1
    assert got.err.startswith(f"pitwright: {file}")
    assert [s for s in said if s not in got.err] == []
    assert sorted(os.listdir(tmp_path)) == ["a.pit.toml"]


@pytest.mark.parametrize("name", ["TOML fault", "missing reading", "not UTF-8"])
def test_the_real_command_says_the_same_without_a_traceback(name: str, tmp_path: Path) -> None:
    text, *said = BAD[name]
    got = command("plan", survey(tmp_path, text), "--out", "out", folder=tmp_path)
    assert (got.returncode, got.stdout) == (2, "")
    assert "Traceback" not in got.stderr
    assert got.stderr.count("\n") == 1
    assert [s for s in said if s not in got.stderr] == []
    assert os.listdir(tmp_path) == ["a.pit.toml"]


def test_a_file_of_100_megabytes_is_refused_unread(tmp_path: Path) -> None:
    big = tmp_path / "big.pit.toml"
    with big.open("wb") as opened:
        opened.truncate(100_000_000)
    got = command("plan", str(big))
    assert got.returncode == 2
    assert "must be at most 1,000,000 bytes" in got.stderr


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("", "it is a folder"),
        ("none.pit.toml", "is not there"),
        ("a.pit.toml/x", "cannot be read"),
        ("x" * 300, "cannot be read"),
        ("nul\0", "cannot be"),
    ],
)
def test_what_is_no_survey_file_is_told_by_its_name(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str, said: str
) -> None:
    survey(tmp_path)
    assert run(["plan", str(tmp_path / name)]) == 2
    err = capsys.readouterr().err
    assert said in err
    assert err.count("\n") == 1


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="no endless device here")
def test_a_device_without_end_is_no_survey(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["plan", "/dev/zero"]) == 2
    assert "no plain file" in capsys.readouterr().err


@pytest.mark.parametrize("where", ["plain", "plain/below", "/proc/pitwright-out"])
def test_a_folder_that_cannot_be_written_is_exit_2_and_leaves_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], where: str
) -> None:
    """Under a file, and in a place where not even root may write."""
    file = survey(tmp_path, PLANNED)
    (tmp_path / "plain").write_bytes(b"")
    if where.startswith("/proc") and not Path("/proc/self").exists():
        pytest.skip("no /proc here")
    assert run(["plan", file, "--out", str(tmp_path / where)]) == 2
    got = capsys.readouterr()
    assert "cannot be written" in got.err
    assert got.err.count("\n") == 1
    assert sorted(os.listdir(tmp_path)) == ["a.pit.toml", "plain"]
    assert (tmp_path / "plain").read_bytes() == b""


def test_a_wrong_option_is_exit_2(capsys: pytest.CaptureFixture[str]) -> None:
    for args in (["plan"], ["plan", "x", "--paper", "a3"], ["plan", "x", "--wrong"]):
        with pytest.raises(SystemExit) as leaving:
            run(args)
        assert leaving.value.code == 2
    assert "Traceback" not in capsys.readouterr().err


LINES = TEXT.splitlines(keepends=True)
SCRAPS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["1e999", "-0", "nan", "1/0", "9" * 40, "[", '"', "[stub.a]", "0.0", "true"]),
    st.sampled_from(["4 - 5 in", "1 ft 2", "-3/4", "0", "1000 ft", "5 +- 0", "up", "1 deg up"]),
)


@st.composite
def spoilt(draw: st.DrawFn) -> str:
    """The example with one to four changes: lines gone, doubled or swapped, values replaced."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        match draw(st.sampled_from(["drop", "double", "swap", "value", "splice"])):
            case "drop":
                del lines[at]
            case "double":
                lines.insert(at, lines[at])
            case "swap":
                other = draw(st.integers(0, len(lines) - 1))
                lines[at], lines[other] = lines[other], lines[at]
            case "value":
                key, equals, _ = lines[at].partition("=")
                quote = draw(st.sampled_from(['"', ""]))
                if equals:
                    lines[at] = f"{key}= {quote}{draw(SCRAPS)}{quote}\n"
            case _:
                cut = draw(st.integers(0, len(lines[at])))
                lines[at] = lines[at][:cut] + draw(SCRAPS) + lines[at][cut:]
    return "".join(lines)


@settings(max_examples=50)
@given(text=spoilt())
def test_whatever_is_typed_is_planned_refused_or_one_message(
    text: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    file = tmp_path_factory.getbasetemp() / "spoilt.pit.toml"
    file.write_bytes(text.encode("utf-8", "surrogatepass"))
    code, err = quietly(["plan", str(file)])
    assert code in (0, 2, 3)
    assert err.count("\n") == (1 if code == 2 else 0)


@settings(max_examples=30)
@given(data=st.binary(max_size=200), at=st.integers(0, len(TEXT)))
def test_whatever_bytes_come_are_one_message_or_a_plan(
    data: bytes, at: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    file = tmp_path_factory.getbasetemp() / "bytes.pit.toml"
    raw = TEXT.encode()
    file.write_bytes(raw[:at] + data + raw[at:])
    code, err = quietly(["plan", str(file)])
    assert code in (0, 2, 3)
    assert err.count("\n") == (1 if code == 2 else 0)


def quietly(args: list[str]) -> tuple[int, str]:
    """Exit code and stderr, with the text of the plan dropped."""
    import io
    from contextlib import redirect_stderr, redirect_stdout

    err = io.StringIO()
    with redirect_stdout(io.StringIO()), redirect_stderr(err):
        code = run(args)
    return code, err.getvalue()
