"""Invented trains to doubt: an offset of two bends, and the school garden's own."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.closing.ends import between
from pitwright.flex.limits import hand_force
from pitwright.renewal.bending import flex_end, rigid_train
from pitwright.renewal.cut_in import cut_in
from pitwright.survey.pit import Survey, read_survey
from pitwright.survey.stubs import Stub
from pitwright.tolerance.bearing import Bears
from pitwright.trains.cut_list import CutList
from pitwright.trains.train import Train

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


@dataclass(frozen=True, slots=True)
class Work:
    """One train with all that doubting it takes."""

    survey: Survey
    train: Train
    cuts: CutList
    stubs: tuple[Stub, Stub]
    bears: Bears

    def less_sure(self, by: float) -> Work:
        """The same with stub directions known ``by`` times worse. [-]"""
        one, two = (replace(s, outward_sigma=s.outward_sigma * by) for s in self.stubs)
        return replace(self, stubs=(one, two))


def borne_by(survey: Survey, stubs: tuple[Stub, Stub], cuts: CutList) -> Bears:
    one, two = (
        flex_end(survey, s, c)
        for s, c in zip(stubs, (cuts.inlet_cut, cuts.outlet_cut), strict=True)
    )
    ends = between(one, two, hand_force())
    rigid = rigid_train(survey, stubs, cuts)
    joint = rigid.joints[0]
    slides = tuple((s.axis, s.low, s.high) for s in rigid.slides)
    return Bears(ends.at, ends.across, ends.sections, joint.play, joint.seat, slides)


@cache
def works() -> tuple[Work, ...]:
    """The trains of all zones of three examples, as many as the search keeps."""
    out = []
    for name in ("school-garden", "allotment", "orchard-gate"):
        text = (EXAMPLES / f"{name}.pit.toml").read_text(encoding="utf-8")
        survey = read_survey(text, name, load_shelf())
        for zone in survey.zones:
            got = cut_in(survey, zone, 2)
            for option in got if isinstance(got, tuple) else ():
                one, two = (survey.stub(w.stub) for w in option.stubs)  # type: ignore[arg-type]
                bears = borne_by(survey, (one, two), option.cuts)
                out.append(Work(survey, option.train, option.cuts, (one, two), bears))
    return tuple(out)
