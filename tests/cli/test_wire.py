"""``pitwright wire``: text, JSON, files, questions, and mistakes as one line."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader

from pitwright.cli.main import BAD_INPUT, OK, REFUSED, run

EXAMPLES = Path(__file__).parents[2] / "examples"
LAWN = str(EXAMPLES / "chapel-lawn.harness.toml")
ALLOTMENT = str(EXAMPLES / "allotment.harness.toml")


def test_json_holds_places_the_set_not_told_apart_and_next_tests(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["wire", LAWN, "--json"]) == OK
    got = json.loads(capsys.readouterr().out)
    assert got["schema"] == "pitwright-wire-1"
    assert got["places"][0]["place"]["on"] == "S2"
    assert {f["on"] for f in got["not_told_apart"]} == {"S2"}
    assert len(got["not_told_apart"]) == 5
    assert got["next_tests"][0]["test"]["kind"] == "capacitance"
    assert got["next_tests"][0]["bits"] > 0.5
    assert got["next_tests"][0]["minutes"] == 1.5
    assert got["places"][0]["chance"] != got["places"][0]["chance_without_clues"]


def test_one_more_reading_on_the_line_settles_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["wire", LAWN, "--read", "S2 capacitance: 6.1 nF"]) == OK
    assert "Go there and mend: wire S2 between B1 and B2" in capsys.readouterr().out


def test_an_insulation_test_is_printed_with_its_cautions(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Asked for by a leak that only insulation shows; the 500 V words come with it."""
    file = tmp_path / "leak.harness.toml"
    file.write_text(
        'readings = ["S1 to C1: 28.6", "S2 to C1: 28.8"]\n'
        '[[box]]\nid = "B1"\nlength = "90 ft"\n'
        '[[station]]\nid = "S1"\nbox = "B1"\n[[station]]\nid = "S2"\nbox = "B1"\n'
        '[[clue]]\nkind = "wet"\n',
        encoding="utf-8",
    )
    assert run(["wire", str(file)]) == OK
    out = capsys.readouterr().out
    assert "insulation tester" in out
    assert "hands out of every box" in out
    assert "discharge" in out


def test_the_loop_asks_takes_back_and_goes_on(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    lines = "short\n6.1 nF\nback\nback\nlist\nS22 to C1: 3\nskip\ndone\n"
    monkeypatch.setattr("sys.stdin", io.StringIO(lines))
    assert run(["wire", LAWN, "--ask"]) == OK
    out = capsys.readouterr().out
    assert "is not a reading" in out
    assert "Go there and mend" in out
    assert "did you mean" in out
    assert out.count("  3. S2 to C1: OL\n") == 1
    assert "Traceback" not in out


def test_back_gives_exactly_what_was_there_before(monkeypatch: pytest.MonkeyPatch) -> None:
    from pitwright.cli.wire import Asking
    from pitwright.survey.harness_file import load_harness
    from pitwright.wiring.answer import desk
    from pitwright.wiring.readings import parse_line

    file = load_harness(LAWN)
    readings = tuple(parse_line(t, file.harness) for t, _ in file.readings)
    asking = Asking(desk(file.harness), readings)
    before = asking.answer()
    after = asking.loop(iter(["6.1 nF", "back", "done"]), lambda _: None)
    assert after == before


def test_files_are_written_whole(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["wire", ALLOTMENT, "--out", str(tmp_path / "out"), "--paper", "a4"]) == OK
    names = {p.name for p in (tmp_path / "out").iterdir()}
    assert names == {"wiring.json", "wiring.txt", "harness.svg", "harness.pdf", "test-card.pdf"}
    text = PdfReader(tmp_path / "out" / "test-card.pdf").pages[0].extract_text()
    assert "Test card: allotment" in text
    assert "S3 parted" in text
    svg = (tmp_path / "out" / "harness.svg").read_text(encoding="utf-8")
    assert "S3 and S4 between B1 and B2" in svg


MURRAY = ["--distance", "murray", "wire=S2", "with=P1", "near_arm=20", "far_arm=80"]


def test_a_distance_is_told_in_feet_with_its_band_and_its_needs(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert run(["wire", LAWN, *MURRAY]) == OK
    out = capsys.readouterr().out
    assert "140 ft (43 m) along the route, 131 to 149 ft (95 %)" in out
    assert "wire S2 between the controller and B1" in out
    assert "needs: a good wire joined to the bad one at the far end" in out
    assert "Fuse the battery test" in out
    assert run(["wire", LAWN, "--json", *MURRAY]) == OK
    (one,) = json.loads(capsys.readouterr().out)["distances"]
    assert one["along_m"] == pytest.approx(0.4 * 350 * 0.3048)
    assert one["low_m"] < one["along_m"] < one["high_m"]
    assert (one["segment"], one["kind"], one["refused"]) == ("B1", "point", None)
    assert one["readings"] == {"near_arm": "20", "far_arm": "80"}


def test_an_open_has_no_distance_by_ohms(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["wire", LAWN, "--distance", "loop-ohms", "wire=S2", "ohm=OL"]) == REFUSED
    out = capsys.readouterr().out
    assert "an open has no distance by ohms" in out
    assert "capacitance-both-ends" in out


def test_distances_may_stand_in_the_file_and_are_drawn(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = Path(LAWN).read_text(encoding="utf-8")
    file = tmp_path / "far.harness.toml"
    tables = (
        '\n[[distance]]\nmethod = "capacitance"\nwire = "S2"\nwith = "S3"\n'
        'bad = "6.1 nF"\ngood = 8.7\n[[distance]]\nmethod = "loop-ohms"\nwire = "S1"\nohm = 1.1\n'
    )
    file.write_text(text + tables, encoding="utf-8")
    assert run(["wire", str(file), "--out", str(tmp_path / "out")]) == OK
    assert "245 ft (75 m) along the route" in capsys.readouterr().out
    svg = (tmp_path / "out" / "harness.svg").read_text(encoding="utf-8")
    assert "distance on S2: 245 ft" in svg
    assert "distance on S1: no farther than" in svg
    said = PdfReader(tmp_path / "out" / "harness.pdf").pages[0].extract_text()
    assert "How far along" in said and "Diamond on a bar" in said
    file.write_text(text + tables.replace("8.7", '"short"'), encoding="utf-8")
    assert run(["wire", str(file)]) == BAD_INPUT
    line = text.count("\n") + 2
    assert f"{file}:{line}: distance.0.good is not a reading" in capsys.readouterr().err


def test_a_reading_typed_for_an_offered_test_reads_the_same_again() -> None:
    from pitwright.cli.wire import _as_line
    from pitwright.survey.harness_file import load_harness
    from pitwright.wiring.measuring import KINDS, MeterTest
    from pitwright.wiring.readings import parse_line, parse_shown

    harness = load_harness(LAWN).harness
    for kind in KINDS:
        test = MeterTest(kind, "C1" if kind == "insulation" else "S2")
        if kind == "volts-box":
            test = MeterTest(kind, "S2", box="B1")
        if kind == "transfer":
            test = MeterTest(kind, "S2", "C1", sense=("S3", "C1"))
        typed = "none" if kind == "moves" else "0.22"
        reading = parse_shown(typed, test, harness)
        again = parse_line(_as_line(typed, reading, harness), harness)
        assert (again.test, again.value) == (test, reading.value), kind


def test_the_rewiring_plan_of_a_box(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["wire", LAWN, "--box", "B2"]) == OK
    out = capsys.readouterr().out
    assert "Test BEFORE the box is covered" in out
    assert "toward the north fence" in out
    assert run(["wire", LAWN, "--box", "B2", "--json"]) == OK
    assert json.loads(capsys.readouterr().out)["connectors"] == 3


def test_latching_control_is_refused_with_what_to_do_instead(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    text = Path(ALLOTMENT).read_text(encoding="utf-8")
    file = tmp_path / "latching.harness.toml"
    file.write_text(f'control = "latching"\n{text}', encoding="utf-8")
    assert run(["wire", str(file)]) == REFUSED
    assert "send each coil a pulse" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["wire", "nowhere.toml"], "is not there"),
        (["wire", LAWN, "--read", "S2 to C1: short"], "is not a reading"),
        (["wire", LAWN, "--read", "S9 to C1: 3"], "wire or station"),
        (["wire", LAWN, "--box", "B9"], "did you mean"),
        (["wire", LAWN, "--box", "B2", *MURRAY], "does not go with --box"),
        (["wire", LAWN, "--distance", "murry", "wire=S2"], "did you mean murray"),
        (["wire", LAWN, "--distance", "murray", "S2"], "must be KEY=VALUE"),
        (["wire", LAWN, *MURRAY, "wire=S3"], "is given twice"),
        (["wire", LAWN, *MURRAY[:-1]], "--distance.far_arm is missing"),
        (["wire", LAWN, *MURRAY[:-1], "far_arm=dead"], "--distance.far_arm is not a reading"),
        (["wire", LAWN, "--read", "S2 to C1: 3\udcff"], "must be UTF-8 text"),
        (["wire", LAWN, *MURRAY[:-1], "far_arm=3\udcff"], "must be UTF-8 text"),
        (["wire", LAWN, *MURRAY, "ohm=3"], "is not a known key of murray"),
    ],
)
def test_mistakes_are_one_line_and_exit_with_two(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(arguments) == BAD_INPUT
    err = capsys.readouterr().err
    assert words in err
    assert err.count("\n") == 1
