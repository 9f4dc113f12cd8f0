"""A new part that broke or leaks: made again, or cut out, and then asked how it goes on."""

from __future__ import annotations

import re
from dataclasses import replace

from pitwright.pages.build import build_page
from pitwright.pages.doing import doings, done_at
from pitwright.pages.part_broke import PART, part_form
from pitwright.pages.resume import resume_page, take_resume
from pitwright.resuming import Verdict
from pitwright.trains.cut_list import Piece
from tests.pages.standings import asked
from tests.pages.test_resumed import Work, formed, the


def said(work: Work, part: str, **more: str) -> dict[str, str]:
    return {"form": PART, "part": part, "happened": "cracked", **more}


def broke(work: Work, part: str, **more: str) -> None:
    taken = take_resume(work.pit, formed(said(work, part, **more)))
    assert taken.trouble == {}
    work.wants += taken.wants


def number_of(work: Work, name: str) -> int:
    items = the(work.pit).stage.option.cuts.items
    return next(n for n, i in enumerate(items)
                if (f"piece {i.letter}" if isinstance(i, Piece) else i.name) == name)  # fmt: skip


def glued_with_pieces() -> Work:
    work = Work()
    work.step("cut_piece", 2)
    for number in range(1, len(the(work.pit).stage.option.cuts.joints) + 1):
        work.joint(number)
    return work


def open_steps(work: Work) -> set[str]:
    now, going = work.pit, the(work.pit)
    return {d.name for d in doings(going.stage) if done_at(now.state, going, d) is None}


def test_every_piece_and_fitting_can_be_said_to_have_broken_and_every_joint_made() -> None:
    work = Work()
    bare = part_form(work.pit, asked())
    cuts = the(work.pit).stage.option.cuts
    assert len(re.findall('value="lawn/item/', str(bare))) == len(cuts.items)
    assert "lawn/joint/" not in str(bare)
    work.joint(2)
    assert re.findall(r"lawn/joint/\d+", str(part_form(work.pit, asked()))) == ["lawn/joint/2"]


def test_a_piece_not_glued_is_made_again_and_its_cut_is_open() -> None:
    work = Work()
    work.step("cut_piece", 2)
    work.step("check_before_cut")
    work.step("cut_stub")
    work.step("dry_fit")
    before = open_steps(work)
    broke(work, f"lawn/item/{number_of(work, 'piece A')}")
    opened = open_steps(work) - before
    going = the(work.pit)
    codes = {(d.code, d.cuts) for d in doings(going.stage) if d.name in opened}
    assert ("cut_piece", "A") in codes and ("cut_piece", "B") not in codes
    assert any(code == "dry_fit" for code, _ in codes)
    assert going.ahead is not None and going.ahead.verdict is Verdict.AS_PLANNED
    assert "A" not in dict(going.ahead.fixed)


def test_what_is_left_of_the_pieces_beside_a_glued_part_is_asked_at_their_fields() -> None:
    work = glued_with_pieces()
    bend = next(n for n, i in enumerate(the(work.pit).stage.option.cuts.items)
                if getattr(i, "name", "") == "bend 1")  # fmt: skip
    form = said(work, f"lawn/item/{bend}")
    taken = take_resume(work.pit, formed(form))
    assert set(taken.trouble) and all(f.startswith("left-lawn-") for f in taken.trouble)
    again = formed(form)
    page = resume_page(work.pit, replace(again, trouble=taken.trouble)).body
    assert "Of no more use: bend 1" in page and "What shows of piece" in page
    assert "cracked" in page


def test_cut_out_of_a_finished_train_the_rest_stands_and_it_goes_on_from_there() -> None:
    work = glued_with_pieces()
    going = the(work.pit)
    assert going.ahead is not None and going.ahead.verdict is Verdict.FINISHED
    bend = number_of(work, "bend 1")
    form = said(work, f"lawn/item/{bend}")
    asks = take_resume(work.pit, formed(form)).trouble
    broke(work, f"lawn/item/{bend}", **dict.fromkeys(asks, "1 1/2"))
    going = the(work.pit)
    assert going.ahead is not None
    assert going.ahead.verdict is Verdict.ANEW and 1 in going.ahead.done
    page = build_page(work.pit, asked()).body
    assert "Go on from here" in page


def test_glued_on_the_stub_it_leads_to_the_stubs_own_field_and_the_steps_wait() -> None:
    work = Work()
    last = len(the(work.pit).stage.option.cuts.items)
    work.joint(last + 1)
    broke(work, f"lawn/joint/{last + 1}")
    page = resume_page(work.pit, asked()).body
    assert re.search(r'<details open[^>]* id="again"|<details id="again" open', page)
    assert re.search(r'<option value="lawn" selected', page)
    assert "do not go on by them yet" in build_page(work.pit, asked()).body
    assert the(work.pit).ahead is None
