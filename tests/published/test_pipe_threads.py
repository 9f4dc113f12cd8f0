"""NPT by B1.20.1's own formulae against its printed table; BSP by ISO 7-1's."""

from __future__ import annotations

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.catalogue.threads import npt_e0, npt_e1
from pitwright.units.kinds import INCH

SHELF = load_shelf()
NPT = {
    "1/2": ("0.8400", "14", "0.3200", "0.5337", "0.2143", "0.7584", "0.7784"),
    "3/4": ("1.0500", "14", "0.3390", "0.5457", "0.2143", "0.9677", "0.9889"),
    "1": ("1.3150", "11.5", "0.4000", "0.6828", "0.2609", "1.2136", "1.2386"),
    "1-1/4": ("1.6600", "11.5", "0.4200", "0.7068", "0.2609", "1.5571", "1.5834"),
    "1-1/2": ("1.9000", "11.5", "0.4200", "0.7235", "0.2609", "1.7961", "1.8223"),
    "2": ("2.3750", "11.5", "0.4360", "0.7565", "0.2609", "2.2690", "2.2963"),
}
"""OD, threads per inch, L1, L2, L3, E0, E1. [in]"""
LAST = 5.1e-5


@pytest.mark.published("ASME-B1.20.1", "table 2: L1, L2, L3, E0, E1, in")
@pytest.mark.parametrize("size", sorted(NPT))
def test_npt_formulae_give_the_printed_table(size: str) -> None:
    od, tpi, l1, l2, l3, e0, e1 = (float(x) for x in NPT[size])
    thread = SHELF.thread("npt", size)
    assert thread.od / INCH == pytest.approx(od, abs=LAST)
    assert thread.pitch / INCH == pytest.approx(1 / tpi)
    lengths = [x / INCH for x in (thread.L1, thread.L2, thread.L3)]
    assert lengths == pytest.approx([l1, l2, l3], abs=LAST)
    assert npt_e0(od, 1 / tpi) == pytest.approx(e0, abs=LAST)
    assert npt_e1(od, 1 / tpi, l1) == pytest.approx(e1, abs=LAST)


@pytest.mark.published("design study", "make-up 1 to 2 turns past hand-tight, and its limits, in")
@pytest.mark.parametrize(
    ("size", "one", "two", "least", "most"),
    [
        ("1/2", "0.391", "0.463", "0.320", "0.534"),
        ("3/4", "0.410", "0.482", "0.339", "0.553"),
        ("1", "0.487", "0.574", "0.400", "0.661"),
        ("1-1/4", "0.507", "0.594", "0.420", "0.681"),
        ("2", "0.523", "0.610", "0.436", "0.697"),
    ],
)
def test_make_up_by_turns_is_the_printed_one(
    size: str, one: str, two: str, least: str, most: str
) -> None:
    thread = SHELF.thread("npt", size)
    assert thread.made_up(1) / INCH == pytest.approx(float(one), abs=5.1e-4)
    assert thread.made_up(2) / INCH == pytest.approx(float(two), abs=5.1e-4)
    engaged = thread.engagement()
    assert engaged.low / INCH == pytest.approx(float(least), abs=5.1e-4)
    assert engaged.high / INCH == pytest.approx(float(most), abs=5.1e-4)


@pytest.mark.published("ISO-7-1", "gauge length + fitting allowance = useful thread, mm")
@pytest.mark.parametrize(
    ("size", "gauge", "allowance", "useful"),
    [
        ("1/2", "8.2", "5.0", "13.2"),
        ("3/4", "9.5", "5.0", "14.5"),
        ("1", "10.4", "6.4", "16.8"),
        ("1-1/4", "12.7", "6.4", "19.1"),
        ("1-1/2", "12.7", "6.4", "19.1"),
        ("2", "15.9", "7.5", "23.4"),
    ],
)
def test_bsp_lengths_add_up(size: str, gauge: str, allowance: str, useful: str) -> None:
    thread = SHELF.thread("bsp", size)
    lengths = [x * 1000 for x in (thread.L1, thread.L3, thread.L2)]
    assert lengths == pytest.approx([float(x) for x in (gauge, allowance, useful)], abs=0.05)
    assert sum(lengths[:2]) == pytest.approx(lengths[2])
