"""What is said of a zone's work that is being worked out, or was resumed."""

from __future__ import annotations

from collections.abc import Sequence

from pitwright.pages import fields
from pitwright.pages.asked import Asked
from pitwright.pages.frame import notice
from pitwright.pages.html import Child, Html, h
from pitwright.pages.standing import Going, Pit

__all__ = ["going_waits", "resumed_note", "working_note"]


def _status(going: Going) -> str:
    return going.status if going.status != "ready" else going.ahead_status


def working_note(asked: Asked, address: str, words: str, ready: tuple[int, int]) -> Html:
    """What is being worked out, how many of how many zones are ready, and a way to stop it; the
    page asks again by itself.
    """
    done, count = ready
    return h(
        "div",
        h("p", words, role="status"),
        h("progress", value=done, max=count, aria_label="zones worked out"),
        fields.form(asked, address, name="stop", button="Stop", plain=True),
        h("p", h("a", "Look again", href=address)),
        class_="notice note",
        hx_get=address,
        hx_trigger="every 700ms",
        hx_target="#page",
        hx_select="#page",
        hx_swap="outerHTML",
    )


def going_waits(pit: Pit, asked: Asked, goings: Sequence[Going], step: str) -> Child:
    """What is still being worked out of resumed work, with a way to stop it; asks by itself."""
    address = f"{pit.home}/{step}"
    working = [g.name for g in goings if _status(g) == "working"]
    halted = [g for g in goings if _status(g) in ("stopped", "broken")]
    told: list[Child] = []
    if working:
        told.append(
            working_note(
                asked,
                address,
                f"Working out how {', '.join(working)} goes on …",
                (len(goings) - len(working), len(goings)),
            )
        )
    for going in halted:
        why = going.trouble or "stopped"
        told.append(
            notice(
                h("p", f"Zone {going.name}: not worked out: {why}."),
                resumed_undo(asked, going, address) if going.status != "ready" else "",
                fields.form(
                    asked, address, name="again", button="Work it out", plain=bool(going.trouble)
                ),
                kind="stop" if going.trouble else "note",
            )
        )
    return told


def resumed_note(pit: Pit, asked: Asked, going: Going, back: str) -> Child:
    """That the steps are those of a resumed plan, and how to take that back."""
    if not going.begun:
        return ""
    last = going.begun[-1]
    times = {1: "once", 2: "twice"}.get(going.number, f"{going.number} times")
    summary = str(last.fact.value("summary"))
    return notice(
        h("p", h("b", f"Resumed {times}"), f" at {last.fact.happened.last:%H:%M}: {summary}."),
        resumed_undo(asked, going, back),
    )


def resumed_undo(asked: Asked, going: Going, back: str) -> Html:
    """Take the newest resumption back."""
    return h(
        "form",
        fields.hidden("token", asked.token),
        fields.hidden("ids", going.begun[-1].fact.id if going.begun else ""),
        fields.hidden("back", back),
        h("button", "Take the resumed plan back", type="submit", class_="quiet"),
        method="post",
        action="/undo",
    )
