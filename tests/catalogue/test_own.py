"""The user's own shelf file: it wins, what it replaces stays visible, and its slips are refused."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.own import with_user_shelf
from pitwright.catalogue.parts import Fitting
from pitwright.catalogue.shelf import Shelf, load_shelf
from pitwright.errors import (
    BadInput,
    BrokenShelf,
    Duplicate,
    Malformed,
    Missing,
    PitwrightError,
    UnknownName,
    WrongUnit,
)
from pitwright.units.kinds import INCH

SHELF = load_shelf()


def laid(text: str) -> Shelf:
    return with_user_shelf(SHELF, text, "mine.toml")


def elbow(text: str, id_: str = "elbow90-sch40-1") -> Fitting:
    return laid(f'[[fitting]]\nid = "{id_}"\n{text}').part(id_)


def test_an_empty_file_changes_nothing() -> None:
    assert laid("") == SHELF


def test_a_measured_takeout_wins_and_keeps_what_it_replaced() -> None:
    part = elbow('measured = true\ntakeout = "23/32"\ndepth = "1 1/8 +- 1/64"')
    old = SHELF.part("elbow90-sch40-1").ports[0].takeout
    for port in part.ports:
        assert port.takeout.value == pytest.approx(23 / 32 * INCH)
        assert port.takeout.high - port.takeout.low == pytest.approx(INCH / 16)
        assert port.takeout.replaced == (old,)
        assert port.takeout.source == "owner"
        assert port.depth.high - port.depth.low == pytest.approx(INCH / 32)
    assert part.measured


def test_a_value_from_a_sheet_is_the_users_but_not_measured() -> None:
    takeout = elbow('takeout = "11/16"').ports[0].takeout
    assert (takeout.status, takeout.measured) == ("user", False)
    assert takeout.sigma == pytest.approx(INCH / 16 / 3**0.5)


def test_one_port_can_differ_from_the_others() -> None:
    part = laid(
        '[[fitting]]\nid = "tee-sch40-1"\ntakeout = "0.7"\nbranch = { takeout = "0.8" }'
    ).part("tee-sch40-1")
    assert [round(p.takeout.value / INCH, 6) for p in part.ports] == [0.7, 0.7, 0.8]


def test_a_straight_body_may_be_given_from_seat_to_seat() -> None:
    part = elbow('seat_to_seat = "0.94"', "adapter-male-sch40-1")
    assert part.seat_to_seat == pytest.approx(0.94 * INCH)


def test_a_part_of_ones_own_is_like_another() -> None:
    shelf = laid(
        'unit = "mm"\n[[fitting]]\nid = "long"\nlike = "stopless-sch40-1"\n'
        'name = "long sleeve"\noverall = 160'
    )
    part = shelf.part("long sleeve")
    assert part.overall is not None
    assert part.overall.value == pytest.approx(0.160)
    assert part.kind == "stopless coupling"
    assert len(shelf.fittings) == len(SHELF.fittings) + 1


def test_a_telescoping_couplings_reach_follows_its_own_lengths() -> None:
    part = elbow('collapsed = "10 in"\nstroke = "8 in"', "telescoping-sch40-1")
    assert part.extended is not None
    assert part.extended.value == pytest.approx(18 * INCH)


def test_a_mechanical_couplings_seat_follows_its_length_and_grip() -> None:
    """Design study, pit P4: 6-1/2 long, 1-3/4 grip."""
    part = elbow('overall = "6 1/2"\ndepth = "1 3/4"\nmeasured = true', "compression-ips-3/4")
    assert part.seat_to_seat == pytest.approx(3.0 * INCH)
    assert part.measured


def test_a_stopless_couplings_depth_is_half_its_length() -> None:
    """Design study, pit P1: 4 in long."""
    part = elbow('overall = "4 in"', "stopless-sch40-1")
    assert [p.depth.value / INCH for p in part.ports] == pytest.approx([2.0, 2.0])
    assert [p.takeout.value for p in part.ports] == [0.0, 0.0]


def test_a_pipe_can_be_measured_too() -> None:
    pipe = laid('[[pipe]]\nid = "pvc-cts-3/4"\nod = "0.876"\nwall = "0.07"\nmeasured = true').pipe(
        "pvc-cts-3/4"
    )
    assert pipe.od.value == pytest.approx(0.876 * INCH)
    assert pipe.wall.measured
    assert pipe.wall.replaced


def test_a_measured_part_is_no_longer_suspect() -> None:
    id_ = "elbow45-sch40-1-1/4"
    assert SHELF.part(id_).findings
    shelf = laid(f'[[fitting]]\nid = "{id_}"\ntakeout = "17/32"\nmeasured = true')
    assert shelf.part(id_).findings == ()


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ('[[fitting]]\nid = "elbow90-sch40-1"\ntakeout = "5/8"', "more than OD/2"),
        ('[[fitting]]\nid = "elbow45-sch40-1"\ntakeout = "1/4"', "more than OD/2"),
        ('[[fitting]]\nid = "coupling-sch40-1"\ndepth = "3/4"', "never shallower"),
        ('[[fitting]]\nid = "coupling-sch80-1"\ndepth = "1"', "never shallower"),
        ('[[fitting]]\nid = "coupling-sch40-1"\noutside = "1.2"', "larger outside"),
        ('[[pipe]]\nid = "pvc-sdr21-1"\nwall = "0.05 +- 0.001"', "0.060 in"),
        ('[[pipe]]\nid = "pvc-sdr26-1"\nwall = "0.058 +- 0.001"', "0.060 in"),
        ('[[pipe]]\nid = "pvc40-1"\nwall = "0.7"', "leave a bore"),
    ],
)
def test_a_value_that_breaks_a_rule_is_refused_with_the_line(text: str, rule: str) -> None:
    with pytest.raises(BrokenShelf, match=rf"mine\.toml, row 2: .*{rule}"):
        laid(text)


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("x = [", Malformed, "mine.toml: the file is not TOML"),
        ("x = " + 9000 * "[", Malformed, "is not TOML"),
        ("fittings = 1", UnknownName, "did you mean fitting"),
        ("fitting = 1", Malformed, "must be a list of tables"),
        ('unit = "ell"', Malformed, "must be in, mm or cm"),
        ("[[fitting]]", Missing, "fitting.id is missing"),
        ('[[fitting]]\nid = "elbow91"', UnknownName, "mine.toml:2: .*not a known part"),
        ('[[pipe]]\nid = "x"\nlike = "pvc41-1"', UnknownName, "mine.toml:2: pipe.x.like"),
        (
            '[[fitting]]\nid = "cap-sch40-1"\nlike = "cap-sch40-2"',
            Duplicate,
            "already on the shelf",
        ),
        ('[[fitting]]\nid = "cap-sch40-1"\n[[fitting]]\nid = "cap-sch40-1"', Duplicate, "twice"),
        ('[[fitting]]\nid = "cap-sch40-1"\ndept = 1', UnknownName, "depth"),
        ('[[fitting]]\nid = "cap-sch40-1"\ndepth = "1 psi"', WrongUnit, "mine.toml:2: .*depth"),
        ('[[fitting]]\nid = "cap-sch40-1"\nmeasured = "yes"', Malformed, "true or false"),
        ('[[fitting]]\nid = "tee-sch40-1"\nseat_to_seat = 1', Malformed, "straight bodies"),
        ('[[fitting]]\nid = "tee-sch40-1"\nbranch = 1', Malformed, "must be a table"),
        ('[[fitting]]\nid = "compression-ips-1"\noverall = 2', Malformed, "two grips"),
        ('[[fitting]]\nid = "cap-sch40-1"\ndepth = "-1"', BadInput, "depth"),
    ],
)
def test_bad_files_get_one_clear_message(
    text: str, kind: type[PitwrightError], message: str
) -> None:
    with pytest.raises(kind, match=message):
        laid(text)


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_but_never_crashes(text: str) -> None:
    try:
        laid(text)
    except PitwrightError as mistake:
        assert str(mistake)


@given(
    st.sampled_from(["id", "depth", "takeout", "measured", "a", "like", "name", "outside"]),
    st.one_of(st.integers(-5, 99), st.text(max_size=8), st.booleans(), st.floats()),
)
def test_any_value_under_any_key_is_read_or_refused(key: str, value: object) -> None:
    shown = f'"{value}"' if isinstance(value, str) else str(value).lower()
    try:
        laid(f'[[fitting]]\nid = "elbow90-sch40-1"\n{key} = {shown}')
    except PitwrightError as mistake:
        assert str(mistake)
