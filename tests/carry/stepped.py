"""A carried plan whose one zone is put in step by step, whatever the example's plan says."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from pitwright.carry.content import Base, Carried
from pitwright.catalogue.shelf import load_shelf
from pitwright.joining.assembly import Assembly
from pitwright.joining.putting_in import put_in
from pitwright.planning import plan
from pitwright.survey.pit import read_survey
from tests.house.reading import ROOT
from tests.joining.built import elbow_box


@cache
def stepped() -> tuple[Carried, Assembly]:
    assembly = put_in(elbow_box())
    assert isinstance(assembly, Assembly)
    text = (ROOT / "examples" / "chapel-lawn.pit.toml").read_text("utf-8")
    made = plan(read_survey(text, "chapel-lawn", load_shelf()))
    zone = made.zones[0]
    assert zone.best is not None
    best = replace(zone.best, assembly=assembly)
    made = replace(made, zones=(replace(zone, answer=(best, best)),))
    return Carried(made, Base(), "2026-05-04 09:00", "pitwright 0"), assembly
