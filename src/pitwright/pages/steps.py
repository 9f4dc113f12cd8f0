"""The steps of the work by their address: each with its page and what its forms come to."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from pitwright.pages.asked import Asked, Page, Taken
from pitwright.pages.build import build_page, take_build
from pitwright.pages.choose import choose_page, take_choose
from pitwright.pages.close import close_page, take_close
from pitwright.pages.html import Child
from pitwright.pages.look import look_page, take_look
from pitwright.pages.measure import echo, measure_page
from pitwright.pages.measure_taking import take_measure
from pitwright.pages.prove import prove_page, take_prove
from pitwright.pages.resume import resume_page, take_resume
from pitwright.pages.standing import Pit

__all__ = ["STEP_PAGES", "echo"]

View = Callable[[Pit, Asked, tuple[Child, ...]], Page]
Take = Callable[[Pit, Asked], Taken]

STEP_PAGES: Mapping[str, tuple[View, Take]] = {
    "look": (look_page, take_look),
    "measure": (measure_page, take_measure),
    "choose": (choose_page, take_choose),
    "build": (build_page, take_build),
    "resume": (resume_page, take_resume),
    "prove": (prove_page, take_prove),
    "close": (close_page, take_close),
}
