"""What pipe is this: the field's own readings, and laws that hold for every reading."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.identify.candidates import Group, Identified, identify
from pitwright.catalogue.identify.readings import Clues, Tool, inside_reading, outside_reading
from pitwright.catalogue.parts import Pipe
from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import Missing
from pitwright.units.kinds import INCH
from pitwright.units.measure import measure

SHELF = load_shelf()
PIPES = st.sampled_from(SHELF.pipes)


def found(tool: Tool, *texts: str, string: str = "0", **clues: object) -> Identified:
    read = tuple(measure(t, default="in") for t in texts)
    outside = outside_reading(tool, read, measure(string, default="in").si)
    return identify(SHELF, Clues(outside=outside, **clues))  # type: ignore[arg-type]


def sizes(groups: tuple[Group, ...]) -> list[tuple[str, str, str]]:
    return [(g.system, g.size, g.schedule) for g in groups]


@pytest.mark.parametrize(
    ("tool", "text", "od", "first", "others"),
    [
        (Tool.AROUND, "2.75 in", "0.875", ("cts", "3/4", ""), set()),
        (Tool.AROUND, "3.53 in", "1.124", ("cts", "1", ""), set()),
        (
            Tool.ACROSS,
            "1-5/16 +- 1/32",
            "1.3125",
            ("ips", "1", ""),
            {("sidr", "1", "SIDR 9"), ("sidr", "1", "SIDR 7"), ("inch series", "1", "")},
        ),
        (
            Tool.CALLIPER,
            "1.660",
            "1.660",
            ("ips", "1-1/4", ""),
            {("sidr", "1-1/4", "SIDR 11.5"), ("inch series", "1-1/4", "")},
        ),
    ],
)
def test_field_case_f3_comes_out_for_every_reading(
    tool: Tool,
    text: str,
    od: str,
    first: tuple[str, str, str],
    others: set[tuple[str, str, str]],
) -> None:
    """Design study, field case F3: string 2.75 and 3.53, tape 1-5/16, calliper 1.660."""
    got = found(tool, text)
    assert got.clues.outside is not None
    assert got.clues.outside.value / INCH == pytest.approx(float(od), abs=5e-4)
    fits = sizes(got.fitting)
    assert fits[0] == first
    assert set(fits[1:]) == others


def test_f3_never_offers_inch_and_a_half_or_32_mm() -> None:
    calliper = sizes(found(Tool.CALLIPER, "1.660").groups)
    assert not [size for _, size, _ in calliper if size == "1-1/2"]
    assert ("metric", "32 mm", "") not in sizes(found(Tool.ACROSS, "1-5/16 +- 1/32").groups)


def test_f3_asks_for_the_material_first_then_wall_or_bore() -> None:
    asked = [q.what for q in found(Tool.ACROSS, "1-5/16 +- 1/32").questions]
    assert asked[0] == "material"
    assert set(asked[1:3]) == {"wall", "bore"}


@given(PIPES)
def test_a_calliper_reading_at_a_pipes_own_diameter_always_lists_it(pipe: Pipe) -> None:
    text = f"{pipe.od.value / INCH:.5f} in"
    assert pipe in [c.pipe for g in found(Tool.CALLIPER, text).fitting for c in g.candidates]


@given(PIPES, st.floats(0, 1))
def test_any_diameter_within_a_pipes_own_range_lists_it(pipe: Pipe, part: float) -> None:
    od = pipe.od.low + part * (pipe.od.high - pipe.od.low)
    assert pipe in found(Tool.CALLIPER, f"{od / INCH:.5f} in").pipes


@given(st.floats(0.6, 2.7), st.floats(0.001, 0.05), st.floats(1.0, 3.0))
def test_widening_the_limits_never_loses_a_candidate(od: float, half: float, wider: float) -> None:
    narrow = found(Tool.CALLIPER, f"{od:.4f} +- {half:.4f}")
    wide = found(Tool.CALLIPER, f"{od:.4f} +- {half * wider + 1e-4:.4f}")
    assert set(narrow.pipes) <= set(wide.pipes)
    fits = {c.pipe for g in narrow.groups for c in g.candidates if c.fits}
    assert fits <= {c.pipe for g in wide.groups for c in g.candidates if c.fits}


@given(PIPES, st.booleans())
def test_another_clue_never_adds_a_candidate(pipe: Pipe, old: bool) -> None:
    text = f"{pipe.od.value / INCH:.5f} in"
    bare = set(found(Tool.ACROSS, text, old=old).pipes)
    wall = inside_reading("wall", measure(f"{pipe.wall.value / INCH:.5f} in", default="in"))
    with_wall = set(found(Tool.ACROSS, text, wall=wall, old=old).pipes)
    assert pipe in with_wall
    assert with_wall <= bare
    assert set(found(Tool.ACROSS, text, material=pipe.material, old=old).pipes) <= bare


@given(st.floats(0.6, 2.7))
def test_weights_sum_to_one_and_every_group_is_ranked(od: float) -> None:
    got = found(Tool.ACROSS, f"{od:.4f} in")
    if got.groups:
        assert sum(c.weight for g in got.groups for c in g.candidates) == pytest.approx(1)
    fits = [g.fits for g in got.groups]
    assert fits == sorted(fits, reverse=True)


def test_a_wall_tells_schedule_40_from_thin_wall() -> None:
    wall = inside_reading("wall", measure("0.14 in", default="in"))
    got = found(Tool.CALLIPER, "1.315", wall=wall, material="pvc")
    assert [c.pipe.id for c in got.fitting[0].candidates if c.fits] == ["pvc40-1"]


def test_old_thin_wall_is_let_in_by_one_calliper_reading_though_it_is_oval() -> None:
    """One diameter 0.030 off the mean still lists SDR 21; a string of that mean would not."""
    text = "1.350"
    new, old = found(Tool.CALLIPER, text), found(Tool.CALLIPER, text, old=True)
    thin = SHELF.pipe("pvc-sdr21-1")
    assert thin not in [c.pipe for g in new.fitting for c in g.candidates if c.fits]
    assert thin in [c.pipe for g in old.fitting for c in g.candidates if c.fits]
    assert "one-diameter-of-old-pipe" in {f.code for f in old.findings}
    crossed = found(Tool.CALLIPER, "1.285", "1.345", old=True)
    assert sizes(crossed.fitting)[0] == ("ips", "1", "")
    assert "one-diameter-of-old-pipe" not in {f.code for f in crossed.findings}


def test_a_string_is_not_widened_by_an_oval() -> None:
    around = f"{1.350 * 3.14159265:.4f} +- 0.005"
    assert SHELF.pipe("pvc-sdr21-1") not in found(Tool.AROUND, around, old=True).pipes


def test_the_strings_own_thickness_is_taken_off() -> None:
    got = found(Tool.AROUND, f"{3.14159265 * (0.875 + 0.0625):.4f}", string="1/16")
    assert sizes(got.fitting) == [("cts", "3/4", "")]


def test_what_fits_nothing_says_so_and_names_the_nearest() -> None:
    got = found(Tool.CALLIPER, "3.0")
    assert got.groups == ()
    assert got.nearest[0].pipe.id == "pe-sidr7-2"
    assert len(got.nearest) == 3


def test_another_colour_or_stiffness_makes_a_pipe_a_stretch_not_an_impossibility() -> None:
    got = found(Tool.CALLIPER, "1.660", stiffness="bends")
    assert sizes(got.fitting) == [("sidr", "1-1/4", "SIDR 11.5")]
    assert ("ips", "1-1/4", "") in sizes(got.groups)


def test_nothing_measured_is_asked_for() -> None:
    with pytest.raises(Missing, match="--calliper, --across or --around"):
        identify(SHELF, Clues(material="pvc"))


def test_asbestos_cement_steel_and_thin_wall_carry_their_hazard() -> None:
    codes = {f.code for f in found(Tool.CALLIPER, "4.8").findings}
    assert "asbestos-cement" in codes
    iron = {f.code: f.weight.value for f in found(Tool.CALLIPER, "1.315", old=True).findings}
    assert iron["brittle-thin-wall"] == "check"
    assert "corroded-steel" in iron
    assert "asbestos-cement" not in iron


def test_diameters_too_far_apart_for_an_oval_are_doubted() -> None:
    codes = {f.code for f in found(Tool.CALLIPER, "1.20", "1.43").findings}
    assert "diameters-far-apart" in codes
