"""What a fitter reads off the calculator."""

from __future__ import annotations

from dataclasses import replace

from pitwright.trains.offset import End, piece_between, solve
from pitwright.units.kinds import DEGREE, INCH
from pitwright.wording.offset import CAUTIONS, OffsetSheet, Run, offset_text

ENDS = (End(1 * INCH, 1 * INCH), End(2 * INCH, 1 * INCH))
OFFSET = solve(true=12 * INCH, bend=90 * DEGREE)
SHEET = OffsetSheet(
    offset=OFFSET,
    bend_given=True,
    ends=ENDS,
    depths_given=True,
    least_nipple=0.0,
    piece=piece_between(OFFSET.travel, ENDS),
    cut_band=None,
    least_offset=5.01 * INCH,
    runs=(),
    spacing=None,
    later=(),
)


def line(sheet: OffsetSheet, start: str) -> str:
    """The one line that begins so, spaces made single."""
    found = [" ".join(words.split()) for words in offset_text(sheet).splitlines()]
    return next(words for words in found if words.startswith(start))


def test_the_cut_stands_in_inches_and_millimetres() -> None:
    assert line(SHEET, "cut,") == "cut, seat to seat 9 in (229 mm)"
    assert line(SHEET, "bare") == "bare between the faces 7 in (178 mm)"


def test_a_least_is_never_rounded_down_nor_limits_inward() -> None:
    assert line(SHEET, "least offset") == "least offset of these fittings 5 1/16 in (129 mm)"
    wide = replace(SHEET, cut_band=(8.99 * INCH, 9.01 * INCH))
    assert "from 8 15/16 in (227 mm) to 9 1/16 in (230 mm)" in line(wide, "it may come out")


def test_each_run_loses_the_take_out_of_its_own_fitting() -> None:
    runs = (Run("run before", INCH * 40, INCH * 30), Run("run after", INCH * 40, INCH * 30))
    text = offset_text(replace(SHEET, runs=runs))

    assert text.index("29 in (737 mm), less that") < text.index("28 in (711 mm), less that")


def test_without_take_outs_it_asks_for_them() -> None:
    assert "give --takeout" in line(replace(SHEET, piece=None, ends=()), "cut")


def test_the_cautions_close_every_sheet() -> None:
    assert offset_text(SHEET).splitlines()[-3:] == [f"! {caution}" for caution in CAUTIONS]
