"""The design study's identification table: least, typical and most outside, and circumference."""

from __future__ import annotations

from math import pi

import pytest

from pitwright.catalogue.shelf import load_shelf
from pitwright.units.kinds import INCH

SHELF = load_shelf()

EVEN = {
    "copper-l-1/2": ("0.6225", "0.6250", "0.6275", "1.963"),
    "copper-l-3/4": ("0.8720", "0.8750", "0.8780", "2.749"),
    "copper-l-1": ("1.1215", "1.1250", "1.1285", "3.534"),
    "copper-l-2": ("2.1200", "2.1250", "2.1300", "6.676"),
    "pvc40-1/2": ("0.8360", "0.8400", "0.8440", "2.639"),
    "pvc40-3/4": ("1.0460", "1.0500", "1.0540", "3.299"),
    "pvc40-1": ("1.3100", "1.3150", "1.3200", "4.131"),
    "pvc40-1-1/4": ("1.6550", "1.6600", "1.6650", "5.215"),
    "pvc40-1-1/2": ("1.8940", "1.9000", "1.9060", "5.969"),
    "pvc40-2": ("2.3690", "2.3750", "2.3810", "7.461"),
    "pvc-metric-20mm": ("0.7874", "0.7913", "0.7953", "2.486"),
    "pvc-metric-25mm": ("0.9843", "0.9882", "0.9921", "3.104"),
    "pvc-metric-32mm": ("1.2598", "1.2638", "1.2677", "3.970"),
    "pvc-metric-63mm": ("2.4803", "2.4843", "2.4882", "7.805"),
    "pvc-inch-1/2": ("0.8346", "0.8406", "0.8465", "2.641"),
    "pvc-inch-1": ("1.3150", "1.3209", "1.3268", "4.150"),
    "pvc-inch-1-1/4": ("1.6575", "1.6634", "1.6693", "5.226"),
}
INSERT = {
    "pe-sidr19-1": ("1.1490", "1.1690", "1.2190"),
    "pe-sidr15-1-1/4": ("1.5440", "1.5640", "1.6140"),
    "pe-sidr11.5-1/2": ("0.7320", "0.7420", "0.7920"),
    "pe-sidr11.5-1-1/4": ("1.6000", "1.6200", "1.6700"),
    "pe-sidr11.5-2": ("2.4070", "2.4270", "2.4852"),
    "pe-sidr9-1": ("1.2630", "1.2830", "1.3330"),
    "pe-sidr9-1-1/4": ("1.6660", "1.6860", "1.7360"),
    "pe-sidr9-2": ("2.5070", "2.5270", "2.5972"),
    "pe-sidr7-1": ("1.3290", "1.3490", "1.3990"),
    "pe-sidr7-1-1/4": ("1.7540", "1.7740", "1.8313"),
    "pe-sidr7-2": ("2.6370", "2.6570", "2.7428"),
}


@pytest.mark.published("design study", "identify: least, typical, most outside and circumference")
@pytest.mark.parametrize("id_", sorted(EVEN))
def test_outside_and_circumference_are_the_tables(id_: str) -> None:
    low, typical, high, around = EVEN[id_]
    od = SHELF.pipe(id_).od
    assert od.low / INCH == pytest.approx(float(low), abs=5.1e-5)
    assert od.value / INCH == pytest.approx(float(typical), abs=5.1e-5)
    assert od.high / INCH == pytest.approx(float(high), abs=5.1e-5)
    assert pi * od.value / INCH == pytest.approx(float(around), abs=5.1e-4)


@pytest.mark.published("design study", "identify: insert polyethylene, from bore and least wall")
@pytest.mark.parametrize("id_", sorted(INSERT))
def test_insert_polyethylene_has_the_tables_range(id_: str) -> None:
    """The table's middle value stands at the least wall; ours is planned at the middle wall."""
    low, at_least_wall, high = INSERT[id_]
    pipe = SHELF.pipe(id_)
    assert pipe.bore is not None
    assert pipe.od.low / INCH == pytest.approx(float(low), abs=5.1e-5)
    assert pipe.od.high / INCH == pytest.approx(float(high), abs=1.1e-4)
    assert (pipe.bore.value + 2 * pipe.wall.low) / INCH == pytest.approx(
        float(at_least_wall), abs=5.1e-5
    )
    assert pipe.od.low < pipe.bore.value + 2 * pipe.wall.low < pipe.od.value < pipe.od.high
