"""Names of pipe as a technician says them, and as they are printed on pipe."""

from __future__ import annotations

import pytest

from pitwright.catalogue.naming import likely, plain_size
from pitwright.catalogue.shelf import load_shelf
from pitwright.errors import UnknownName

SHELF = load_shelf()


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ('1" sch 40', "1 in schedule 40 PVC"),
        ('1" sch40', "1 in schedule 40 PVC"),
        ("sch 40 1 inch", "1 in schedule 40 PVC"),
        ("1¼ sch 40", "1-1/4 in schedule 40 PVC"),
        ('1.5" sch 80', "1-1/2 in schedule 80 PVC"),
        ("1 in class 200", "1 in SDR 21 PVC"),
        ("1 1/4 class 160", "1-1/4 in SDR 26 PVC"),
        ("1 in SDR 21", "1 in SDR 21 PVC"),
        ('1" SDR21 CLASS 200 PVC', "1 in SDR 21 PVC"),
        ('1" PVC 1120 SDR 21 200 PSI ASTM D2241 NSF-PW', "1 in SDR 21 PVC"),
        ('1" PVC 1120 SCH 40 450 PSI @ 73 F ASTM D1785', "1 in schedule 40 PVC"),
        ("type L 3/4", "3/4 in copper tube type L"),
        ("galv 1", "1 in galvanised steel"),
        ("40 mm pvc", "40 mm PVC (metric)"),
    ],
)
def test_a_pipe_is_known_by_what_is_said_or_printed(said: str, name: str) -> None:
    assert SHELF.pipe(said).name == name


@pytest.mark.parametrize(
    ("said", "some", "count"),
    [
        ("class 200", "1 in SDR 21 PVC", 5),
        ('1" thin wall', "1 in SDR 26 PVC", 3),
        ("1 in copper", "1 in copper tube type M", 3),
        ("sch 40", "2 in schedule 40 PVC", 6),
    ],
)
def test_what_may_be_several_pipes_names_them_and_guesses_none(
    said: str, some: str, count: int
) -> None:
    with pytest.raises(UnknownName, match=f"may be any of {count} pipes") as told:
        SHELF.pipe(said)
    assert some in told.value.meant and len(told.value.meant) == count


@pytest.mark.parametrize(
    "said", ["1 in schedule 40 ABS", "1 in sch 40 sewer", "blue", "", "5 in sch 40"]
)
def test_a_word_nobody_knows_is_never_passed_over(said: str) -> None:
    with pytest.raises(UnknownName):
        SHELF.pipe(said)


def test_every_pipe_is_found_by_its_own_name_alone() -> None:
    for pipe in SHELF.pipes:
        found = likely(SHELF.pipes, pipe.name)
        assert (found.pipes, found.sure) == ((pipe,), True)


@pytest.mark.parametrize(
    ("said", "size"),
    [('1"', "1"), ("1 inch", "1"), ("1 in.", "1"), ('1 1/4"', "1-1/4"), ("1¼", "1-1/4"),
     ("1-1/2", "1-1/2"), ("1.25", "1-1/4"), ("25 mm", "25 mm"), ("3/4in", "3/4"), ("", "")],
)  # fmt: skip
def test_a_size_is_written_as_the_shelf_writes_it(said: str, size: str) -> None:
    assert plain_size(said) == size
