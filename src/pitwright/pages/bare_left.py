"""What is still bare behind a stub that broke, where nobody measured it again. [m]"""

from __future__ import annotations

from collections.abc import Mapping

from pitwright.errors import BadInput
from pitwright.geometry.vector import add, dot, norm, scale, sub
from pitwright.pages.going import again_value
from pitwright.pages.standing import Pit
from pitwright.records.pits import plans_of
from pitwright.records.progress import stages_of
from pitwright.renewal.standing import root_stub
from pitwright.survey.pit import Survey
from pitwright.survey.progress import progress_of
from pitwright.units.kinds import INCH
from pitwright.wording.cut_out import LEFT_UNKNOWN, left_bare_text

__all__ = ["bare_left"]

_ASIDE = 3 * INCH
"""A new end farther than this beside the old straight is on another one. Judgement. [m]"""


def bare_left(pit: Pit, stub: str, said: Mapping[str, str]) -> tuple[str, str]:
    """The old bare path less what came off, as typed; or what is wrong with leaving it empty.

    ``said`` is what was measured again, as typed by key. Both are empty where no bare path was
    given before, or one is given now. Raises nothing: what cannot be read is told elsewhere.
    """
    survey, saved = pit.partly.survey, plans_of(pit.state)
    if survey is None or not saved or "bare" in said or "tip" not in said:
        return "", ""
    tables = [
        b.tables
        for z in survey.zones
        if stub in (str(z.inlet), str(z.outlet))
        for b in stages_of(pit.state, saved[-1]).get(str(z.id), ())
    ]
    straights = _straights(pit, stub, tables)
    if not straights:
        return "", ""
    try:
        came_off, first = _came_off(pit, survey, stub, said, tables)
    except BadInput:
        return "", ""
    if came_off is None or came_off >= first:
        return "", LEFT_UNKNOWN.format(old="; ".join(straights))
    return "; ".join([left_bare_text(first - max(0.0, came_off)), *straights[1:]]), ""


def _straights(pit: Pit, stub: str, tables: list[dict[str, object]]) -> list[str]:
    """The bare path known last, straight by straight, as typed."""
    known = pit.readings.get(("stub", stub, "bare"))
    found = [p.strip() for p in known.text.split(";")] if known else []
    for table in tables:
        stubs = table.get("stub", {})
        mine = stubs.get(stub, {}) if isinstance(stubs, dict) else {}
        if isinstance(mine, dict) and isinstance(mine.get("bare"), list):
            found = [str(p) for p in mine["bare"]]
    return [p for p in found if p]


def _came_off(
    pit: Pit, survey: Survey, stub: str, said: Mapping[str, str], tables: list[dict[str, object]]
) -> tuple[float | None, float]:
    """How far the new end lies behind the old one along its pipe, None beside it; the straight."""
    names = {str(s.id): s.id for s in survey.stubs}
    at = [
        g.stage.survey
        for g in pit.goings
        if names[stub] in (g.stage.root.inlet, g.stage.root.outlet)
    ]
    old = root_stub((at[0] if at else survey).stub(names[stub]))
    table = {k: again_value(k, v) for k, v in said.items() if k in ("tip", "cut_back")}
    table |= {"broken": "broke", "cut_back": table.get("cut_back", "0")}
    found = progress_of({"stub": {stub: table}}, survey, tables).stub(names[stub])
    assert found is not None  # it is named
    behind = sub(old.tip.mean, found.stub.tip.mean)
    along = dot(behind, old.outward)
    aside = norm(add(behind, scale(old.outward, -along)))
    first = old.bare[0].length if old.bare else 0.0
    return (None if aside > _ASIDE else along), first
