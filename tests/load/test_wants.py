"""What a plan loads beside fittings: nothing for glue where nothing is glued."""

from __future__ import annotations

from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.findings import Refusal
from pitwright.planning import Plan, beside_load, plan
from pitwright.renewal.insides import RENEW_INSIDES
from pitwright.survey.pit import load_survey
from pitwright.wording.pit_sheet import tools_line
from pitwright.wording.plan import plan_text
from tests.pits.test_p4 import LONG
from tests.pits.test_p4 import pit as concrete
from tests.survey.pits import read

EXAMPLES = Path(__file__).resolve().parents[2] / "examples"


def example(name: str) -> Plan:
    return plan(load_survey(EXAMPLES / f"{name}.pit.toml", load_shelf()))


def test_a_coupling_that_only_grips_loads_no_primer_and_no_cement() -> None:
    text = concrete(tips=(3.9, 6.525), cut=(0.5, 0.5), seeps=True, through=LONG)
    gripped = plan(read(text))
    assert gripped.load.wants == ("joint",)
    assert "cement for PVC" not in plan_text(gripped)
    assert "depth-mark pencil" in plan_text(gripped)


def test_a_glued_box_loads_both_and_no_thread_tape() -> None:
    glued = example("cast-wall")
    assert {"joint", "glue"} <= set(glued.load.wants)
    assert "thread" not in glued.load.wants
    said = plan_text(glued)
    assert "primer for PVC" in said
    assert "thread tape" not in said


def test_insides_renewed_load_neither_saw_nor_glue() -> None:
    pit = example("mill-race")
    (one,) = [b for b in pit.beside if b.way == RENEW_INSIDES and not isinstance(b.answer, Refusal)]
    assert not isinstance(one.answer, Refusal)
    said = tools_line(beside_load(pit.survey, one.answer).wants)
    assert not any(word in said for word in ("cement", "primer", "saw"))
    assert "gloves" in said
