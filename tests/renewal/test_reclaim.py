"""Reclaim a socket: only where one is known to be, and never on the side under pressure."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from pitwright.catalogue.parts import JointKind
from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Short, Weight
from pitwright.geometry.vector import add, norm, scale, sub
from pitwright.renewal.reclaim import reclaimed, risk
from pitwright.survey.pit import load_survey
from pitwright.survey.stubs import Stub

SHED = Path(__file__).resolve().parents[2] / "examples" / "tennis-shed.pit.toml"


def stub(name: str) -> Stub:
    return next(s for s in load_survey(SHED, load_shelf()).stubs if s.id == name)


def test_the_socket_begins_where_the_straight_ends() -> None:
    old = stub("lawns")
    new = reclaimed(old)
    assert isinstance(new, Stub)
    face = add(old.tip.mean, scale(old.outward, -old.bare[0].length))
    assert norm(sub(new.tip.mean, face)) == pytest.approx(0.0, abs=1e-12)
    assert (new.end, new.end_size, new.cut_back) == (JointKind.SOCKET, "1", 0.0)


def test_f15_never_on_the_pressure_side_and_never_where_no_socket_is_known() -> None:
    feed = reclaimed(replace(stub("feed"), behind="tee"))
    assert isinstance(feed, Short)
    assert feed.code == "PRESSURE_SIDE"
    for behind in ("", "other fitting"):
        none = reclaimed(replace(stub("lawns"), behind=behind))
        assert isinstance(none, Short)
        assert none.code == "NO_SOCKET"


def test_its_risk_is_a_stop() -> None:
    assert risk(stub("lawns")).weight is Weight.STOP


def test_a_second_point_that_is_the_face_itself_is_let_go() -> None:
    """Kept, its direction would be taped over no length at all."""
    old = stub("lawns")
    face = replace(old.tip, mean=add(old.tip.mean, scale(old.outward, -old.bare[0].length)))
    new = reclaimed(replace(old, through=face))
    assert isinstance(new, Stub)
    assert new.through is None
