"""Something broke, or a stub was measured again while the work was under way.

What is read then stands beside the survey, never over it: the plan that was begun stays what it
was, and what remains is worked out from both. Everything is an entry, taken back like any other.
"""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Taken, Want
from pitwright.pages.bare_left import bare_left
from pitwright.pages.frame import trouble_box
from pitwright.pages.going import again_value
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import Key, key_of, trouble_of
from pitwright.pages.measure_taking import field_of_mistake, form_value, wrong_alone
from pitwright.pages.part_form import key_field
from pitwright.pages.readings import Path, field_of, path_of_text, path_text, want
from pitwright.pages.standing import Pit
from pitwright.records.pits import plans_of
from pitwright.records.progress import (
    AGAIN,
    AGAIN_GONE,
    progress_tables,
    stage_of_path,
    staged_path,
    stages_of,
)
from pitwright.survey.pit import Survey
from pitwright.survey.progress import progress_of

__all__ = [
    "again_form",
    "again_list",
    "again_want",
    "measured_again",
    "stages_by_stub",
    "take_again",
]

FORM = "broke"
_FIRST = ("tip", "cut_back", "bare", "faces")
"""What is asked of the end that is left."""
_MORE = (
    *(
        key
        for name in (
            "through",
            "condition",
            "end",
            "seeps",
            "proved_dry",
            "relief",
            "relief_bore",
            "held",
            "soil",
            "note",
            "end_size",
            "behind",
            "measured",
        )
        if (key := key_of("stub", name)) is not None
    ),
)
"""What else may be read again of it."""
KEYS = (*(key for name in _FIRST if (key := key_of("stub", name)) is not None), *_MORE)
_SAID = {
    "broken": "broke",
    "tip": "new open end",
    "cut_back": "may be cut back",
    "bare": "bare behind it",
    "faces": "looks",
    "through": "second point",
    "held": "tied or blocked",
}


def stages_by_stub(pit: Pit) -> dict[str, int]:
    """How many times the work was resumed in the zone of each stub, since the newest plan. [-]"""
    saved, survey = plans_of(pit.state), pit.partly.survey
    if not saved or survey is None:
        return {}
    begun = stages_of(pit.state, saved[-1])
    found: dict[str, int] = {}
    for zone in survey.zones:
        for stub in (str(zone.inlet), str(zone.outlet)):
            found[stub] = max(found.get(stub, 0), len(begun.get(str(zone.id), ())))
    return found


def measured_again(pit: Pit) -> dict[str, dict[str, str]]:
    """What was measured again since the plan, or since the work was last resumed, as typed: by
    stub, then by key.
    """
    saved = plans_of(pit.state)
    found: dict[str, dict[str, str]] = {}
    if saved:
        stages = stages_by_stub(pit)
        for text, typed in progress_tables(pit.state, saved[-1], ()).again:
            stage, path = stage_of_path(path_of_text(text))
            if len(path) == 3 and stage == stages.get(path[1], 0):
                found.setdefault(path[1], {})[path[2]] = typed
    return found


def again_want(stages: dict[str, int], path: Path, typed: str) -> Want:
    """One reading taken again, in the stage its stub is in; an empty text takes it away."""
    path = staged_path(stages.get(path[1], 0), path)
    body = {"reading": path_text(path), "typed": typed, "quantity": AGAIN}
    if not typed:
        body |= {"typed": "taken away", "quantity": AGAIN_GONE}
    return Want("reading", body, field_of(("again", *path)))


def again_list(pit: Pit, asked: Asked) -> Child:
    """What was measured again, stub by stub, each with the way to take it back."""
    rows = []
    for stub, keys in measured_again(pit).items():
        said = "; ".join(f"{_SAID.get(key, key)}: {typed}" for key, typed in keys.items())
        away = fields.form(
            asked,
            f"{pit.home}/resume",
            fields.hidden("stub", stub),
            name=f"away-{stub}",
            seen=pit.count,
            button=f"Take {stub} away",
            plain=True,
        )
        anew = fields.form(
            asked,
            f"{pit.home}/resume",
            fields.hidden("stub", stub),
            name=f"anew-{stub}",
            seen=pit.count,
            button="Plan anew from it",
        )
        rows.append(
            h("li", h("p", h("b", stub), f": {said}"), "" if _glued(pit, stub) else anew, away)
        )
    return h("section", h("h2", "Measured since"), h("ul", *rows)) if rows else ""


def _glued(pit: Pit, stub: str) -> bool:
    """Whether a joint is made in the zone of a stub: then only what is left can be worked out."""
    survey, saved = pit.partly.survey, plans_of(pit.state)
    if survey is None or not saved or stages_by_stub(pit).get(stub, 0):
        return True
    planned = [z for z in survey.zones if z.planned]
    tables = progress_tables(pit.state, saved[-1], [str(z.id) for z in planned]).tables
    begun = tables.get("zone")
    made = [str(z) for z, t in begun.items() if t.get("joints")] if isinstance(begun, dict) else []
    return any(str(z.id) in made for z in planned if stub in (str(z.inlet), str(z.outlet)))


def _anew(pit: Pit, stub: str) -> Taken:
    """The stub of the survey becomes what was measured again, and all is planned from it."""
    keys = dict(measured_again(pit).get(stub, {}))
    stages = stages_by_stub(pit)
    gone = tuple(again_want(stages, ("stub", stub, key), "") for key in keys)
    if keys.pop("broken", ""):
        left, asks = bare_left(pit, stub, keys)
        if asks:
            return Taken(trouble={"": f"{stub}: bare pipe: {asks}"})
        keys |= {"bare": left} if left else {}
    if "faces" in keys:
        keys["through"] = ""
    wants = (want(("stub", stub, key), said) for key, said in keys.items())
    return Taken((*wants, *gone), f"{pit.home}/choose")


def again_form(pit: Pit, asked: Asked) -> Html:
    """Where it broke, what broke, and what is left there to join to."""
    asked = asked.own(FORM)
    stubs = [("", "—"), *((str(s.id), str(s.id)) for s in pit.partly.stubs)]
    again = measured_again(pit)
    waits = [s for s, keys in again.items() if "broken" in keys and "tip" not in keys]
    at = waits[0] if waits else ""
    now = again.get(asked.said("stub", at), {})
    asks = [key_field(pit, asked, key, now.get(key.name, "")) for key in KEYS]
    first = len(KEYS) - len(_MORE)
    return h(
        "details",
        h("summary", "A stub broke, or was measured again"),
        h(
            "p",
            "Cut back to sound pipe first. Then measure the end that is left, from the same datum. "
            "Bare pipe left empty is the old one less what came off.",
        ),
        fields.form(
            asked,
            f"{pit.home}/resume",
            trouble_box(asked),
            fields.choice(asked, "stub", "At which stub", stubs, at),
            fields.text(
                asked,
                "broken",
                "What broke",
                now.get("broken", ""),
                hint="elbow behind it cracked; leave it empty if nothing broke",
            ),
            *asks[:first],
            h(
                "details",
                h("summary", "More of that end"),
                *asks[first:],
                open=any(_is_of(name, key) for name in asked.trouble for key in _MORE) or None,
            ),
            name=FORM,
            seen=pit.count,
            button="Save, and go on from here",
        ),
        open=bool(asked.trouble or waits) or None,
        id="again",
    )


def _is_of(field: str, key: Key) -> bool:
    return field == key.name or field.startswith(f"{key.name}.")


def take_again(pit: Pit, asked: Asked) -> Taken:
    """What was measured again, or what of it is taken back."""
    go, stub = f"{pit.home}/resume", asked.said("stub").strip()
    if asked.said("form").startswith("away-"):
        keys = measured_again(pit).get(stub, {})
        stages = stages_by_stub(pit)
        return Taken(tuple(again_want(stages, ("stub", stub, key), "") for key in keys), go)
    if asked.said("form").startswith("anew-") and not _glued(pit, stub):
        return _anew(pit, stub)
    if asked.said("form") != FORM:
        return Taken(trouble={"": "This form is of an older page: open it again."})
    survey, saved = pit.partly.survey, plans_of(pit.state)
    if survey is None or not saved:
        return Taken(trouble={"": "No way was chosen yet: change the stub itself under Measure."})
    if stub not in [str(s.id) for s in survey.stubs]:
        return Taken(trouble={"stub": "Say at which stub."})
    typed = {key.name: form_value(asked, key) for key in KEYS}
    typed = {n: said for n, said in typed.items() if said}
    broken = asked.said("broken").strip()
    wrong = _lacking(typed, broken)
    paths: dict[Path, str] = {("stub", stub, n): said for n, said in typed.items()}
    wrong |= {} if wrong else wrong_alone(pit, paths)
    if broken:
        paths = {("stub", stub, "broken"): broken, **paths}
        left, asks = ("", "") if wrong else bare_left(pit, stub, typed)
        paths |= {("stub", stub, "bare"): left} if left else {}
        wrong |= {"bare": asks} if asks else {}
    wrong |= {} if wrong else _wrong(pit, paths, survey, stub)
    stages = stages_by_stub(pit)
    return Taken(tuple(again_want(stages, p, said) for p, said in paths.items()), go, wrong)


def _lacking(typed: dict[str, str], broken: str) -> dict[str, str]:
    """What a break leaves to be measured."""
    if broken:
        asks = {
            "tip": "Measure the middle of the new open end, behind what broke.",
            "cut_back": "Say how far the new end may be cut back: 0 if not at all.",
        }
        return {key: words for key, words in asks.items() if key not in typed}
    return {} if typed else {"broken": "Say what broke, or measure something again."}


def _wrong(pit: Pit, paths: dict[Path, str], survey: Survey, stub: str) -> dict[str, str]:
    begun = stages_of(pit.state, plans_of(pit.state)[-1])
    mine = [z for z in survey.zones if stub in (str(z.inlet), str(z.outlet))]
    earlier = [b.tables for z in mine for b in begun.get(str(z.id), ())]
    try:
        table = {path[-1]: again_value(path[-1], said) for path, said in paths.items()}
        progress_of({"stub": {stub: table}}, survey, earlier)
    except BadInput as mistake:
        return {field_of_mistake(mistake.where, paths): trouble_of(mistake)}
    return {}
