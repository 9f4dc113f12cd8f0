"""An entry of the record in one line a person reads."""

from __future__ import annotations

from pitwright.pages.build import take_build
from pitwright.pages.doing import doings
from pitwright.wording.record import entry_text
from tests.pages.standings import asked
from tests.pages.test_resumed import Work, the


def test_a_step_done_is_told_in_its_own_words_and_no_name_of_ours() -> None:
    work = Work()
    for doing in doings(the(work.pit).stage):
        if doing.code == "water_on":
            continue
        wants = take_build(work.pit, asked(step=doing.name)).wants
        said = entry_text("step", wants[0].body)
        assert said.removesuffix("; done") in doing.words and said.endswith("; done")
        assert len(said) > 12
        assert "_" not in said and doing.name not in said


def test_a_step_kept_before_it_had_words_is_told_without_underscores() -> None:
    said = entry_text("step", {"step": "step 14 spread_and_push", "done": "yes"})
    assert said == "step 14: spread and push; done"
    again = {"step": "lawn step 3 cut_piece", "done": "no", "what": "Cut piece A to 4 in."}
    assert entry_text("step", again) == "Cut piece A to 4 in; open again"


def test_what_is_made_again_says_so() -> None:
    said = entry_text("piece", {"letter": "lawn A", "cut": {"typed": "4 in"}, "made": "no"})
    assert said == "lawn A: 4 in, no longer: made again"
