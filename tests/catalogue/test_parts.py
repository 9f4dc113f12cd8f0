"""Dimensions keep their scatter and their past; parts say what is measured of them."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pitwright.catalogue.parts import Dim
from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import SourceKey

SHELF = load_shelf()
HERE = SourceKey("judgement")


def test_sigma_is_that_of_a_uniform_scatter() -> None:
    assert Dim(1.0, 0.7, 1.3, HERE, "judgement").sigma == pytest.approx(0.3 / 3**0.5)


@given(st.floats(0.1, 10), st.floats(0.01, 0.1))
def test_scaling_a_dimension_scales_its_scatter(factor: float, half: float) -> None:
    dim = Dim(1.0, 1.0 - half, 1.0 + half, HERE, "judgement")
    assert dim.scaled(factor).sigma == pytest.approx(factor * dim.sigma)


def test_what_is_replaced_stays_visible_newest_first() -> None:
    first = Dim(1.0, 0.9, 1.1, HERE, "judgement")
    second, third = replace(first, value=1.01), replace(first, value=1.02)
    assert third.over(second.over(first)).replaced == (second.over(first), first)


def test_a_fitting_is_measured_only_when_every_port_is() -> None:
    elbow = SHELF.part("elbow90-sch40-1")
    port = elbow.ports[0]
    done = replace(
        port,
        takeout=replace(port.takeout, measured=True),
        depth=replace(port.depth, measured=True),
    )
    assert not replace(elbow, ports=(done, port)).measured
    assert replace(elbow, ports=(done, done)).measured


def test_a_port_is_found_by_its_label_or_named_as_missing() -> None:
    tee = SHELF.part("tee-sch40-1")
    assert tee.port("branch") is tee.ports[2]
    with pytest.raises(KeyError, match="no port 'side'"):
        tee.port("side")


def test_the_scatter_of_a_bend_never_reaches_where_two_pipes_would_meet() -> None:
    od = {(p.system, p.size): p.od.value for p in SHELF.pipes}
    for fitting in SHELF.find(kind="elbow", angle_deg=90):
        for port in fitting.ports:
            if port.joint.value == "socket":
                assert port.takeout.low >= od[port.system, port.size] / 2 - 1e-9
