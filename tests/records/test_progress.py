"""Joints and pieces noted in the record become a progress file's tables."""

from __future__ import annotations

import pytest

from pitwright.records.progress import _placed


@pytest.mark.parametrize(
    ("label", "zones", "joint", "expected"),
    [
        ("3", ("lawn",), True, ("lawn", 0, "3")),
        ("joint 3", ("lawn",), True, ("lawn", 0, "3")),
        ("lawn 3", ("lawn", "beds"), True, ("lawn", 0, "3")),
        ("lawn  north 12", ("lawn", "lawn north"), True, ("lawn north", 0, "12")),
        ("A", ("lawn",), False, ("lawn", 0, "A")),
        ("beds piece B", ("lawn", "beds"), False, ("beds", 0, "B")),
        ("beds inlet", ("lawn", "beds"), False, ("beds", 0, "inlet")),
        ("3", ("lawn", "beds"), True, None),
        ("A", ("lawn",), True, None),
        ("elbow", ("lawn",), False, None),
        ("lawn resumed 1 3", ("lawn", "beds"), True, ("lawn", 1, "3")),
        ("resumed 2 piece A", ("lawn",), False, ("lawn", 2, "A")),
        ("lawn resumed 3", ("lawn",), True, None),
    ],
)
def test_labels_are_placed_or_told(
    label: str, zones: tuple[str, ...], joint: bool, expected: tuple[str, int, str] | None
) -> None:
    assert _placed(label, zones, joint=joint) == expected
