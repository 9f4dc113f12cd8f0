"""Joints and pieces noted in the record become a progress file's tables."""

from __future__ import annotations

import pytest

from pitwright.records.progress import _placed


@pytest.mark.parametrize(
    ("label", "zones", "joint", "expected"),
    [
        ("3", ("lawn",), True, ("lawn", "3")),
        ("joint 3", ("lawn",), True, ("lawn", "3")),
        ("lawn 3", ("lawn", "beds"), True, ("lawn", "3")),
        ("lawn  north 12", ("lawn", "lawn north"), True, ("lawn north", "12")),
        ("A", ("lawn",), False, ("lawn", "A")),
        ("beds piece B", ("lawn", "beds"), False, ("beds", "B")),
        ("beds inlet", ("lawn", "beds"), False, ("beds", "inlet")),
        ("3", ("lawn", "beds"), True, None),
        ("A", ("lawn",), True, None),
        ("elbow", ("lawn",), False, None),
    ],
)
def test_labels_are_placed_or_told(
    label: str, zones: tuple[str, ...], joint: bool, expected: tuple[str, str] | None
) -> None:
    assert _placed(label, zones, joint=joint) == expected
