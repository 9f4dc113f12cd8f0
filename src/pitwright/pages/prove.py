"""Prove: tests, readings before and after, and the wiring with its next best test."""

from __future__ import annotations

from pitwright.errors import BadInput
from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.frame import empty, notice, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.keys import trouble_of
from pitwright.pages.look import photo_field, read_want, read_wrong, value_and_unit
from pitwright.pages.standing import Pit, Wired
from pitwright.survey.harness_file import read_harness
from pitwright.survey.harness_text import with_readings
from pitwright.wiring.readings import parse_line, parse_shown
from pitwright.wording.record import entry_text
from pitwright.wording.wiring import (
    doubt_words,
    go_words,
    percent_short,
    place_words,
    summary_words,
    test_words,
)

__all__ = ["prove_page", "take_prove"]

TESTS = (
    "flow direction proved",
    "flushed through the open end",
    "meter still for 15 minutes",
    "no joint weeps under pressure",
    "each zone opens and closes",
    "run times corrected",
)
_RESULTS = (("pass", "passed"), ("fail", "failed"), ("unclear", "unclear"))
_MOST_PLACES = 6
_WHEN = (("before", "before the work"), ("after", "after the work"))


def prove_page(pit: Pit, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """Tests, wiring, and what was read before and after."""
    which = asked.said("form") if asked.trouble else ""
    return shell(
        "Prove",
        h("h2", "Tests"),
        _tests(pit),
        h(
            "details",
            h("summary", "Add a test"),
            _test_form(pit, asked.own("test")),
            open=which == "test" or None,
        ),
        h("h2", "Before and after"),
        _readings(pit),
        h(
            "details",
            h("summary", "Add a reading"),
            _reading_form(pit, asked.own("after")),
            open=which == "after" or None,
        ),
        h("h2", "Wiring", id="wiring"),
        _wiring(pit, asked),
        up=(pit.home, pit.place.name),
        pit=pit.place.subject,
        step="prove",
        notices=notices,
    )


def _tests(pit: Pit) -> Child:
    rows = []
    for fact in pit.state.of_kind("test"):
        pictures = [
            h("img", src=f"/photo/{f}", alt=f"photo: {fact.value('what')}", loading="lazy")
            for f in fact.entry.header.files
        ]
        rows.append(h("li", entry_text("test", fact.body or {}), *pictures))
    return h("ul", *rows, class_="found") if rows else empty("No test yet.")


def _test_form(pit: Pit, asked: Asked) -> Html:
    return fields.form(
        asked,
        f"{pit.home}/prove",
        trouble_box(asked),
        fields.text(asked, "what", "Which test", known=TESTS),
        fields.pick(asked, "result", "It", _RESULTS),
        fields.text(asked, "shown", "It showed", hint="0 gpm in 15 min; may be left out"),
        fields.text(asked, "zone", "Zone"),
        photo_field(asked),
        name="test",
        seen=pit.count,
        button="Save the test",
        upload=True,
    )


def _readings(pit: Pit) -> Child:
    """One row a quantity and zone: before, after."""
    found: dict[tuple[str, str], dict[str, str]] = {}
    for fact in pit.state.of_kind("reading"):
        when, colon, _ = str(fact.value("reading")).partition(":")
        if colon and when in ("before", "after"):
            key = (str(fact.value("quantity")), str(fact.value("zone")))
            found.setdefault(key, {})[when] = str(fact.value("typed"))
    if not found:
        return empty("No reading yet.")
    rows = [
        h(
            "tr",
            h("th", f"{name}{', zone ' + zone if zone else ''}", scope="row"),
            h("td", said.get("before", "—")),
            h("td", said.get("after", "—")),
        )
        for (name, zone), said in found.items()
    ]
    head = h("tr", *(h("th", w, scope="col") for w in ("what", "before", "after")))
    return h("table", h("thead", head), h("tbody", *rows))


def _reading_form(pit: Pit, asked: Asked) -> Html:
    known = ("static pressure", "running pressure", "flow", "coil ohms", "volts at the coil")
    return fields.form(
        asked,
        f"{pit.home}/prove",
        trouble_box(asked),
        fields.pick(asked, "when", "When", _WHEN, "after"),
        fields.text(asked, "quantity", "What was read", known=known),
        fields.text(asked, "typed", "It shows", hint="48 psi"),
        fields.text(asked, "zone", "Zone"),
        name="after",
        seen=pit.count,
        button="Save the reading",
    )


def _wiring(pit: Pit, asked: Asked) -> Child:
    if pit.wired is None:
        return _lay_wiring(pit, asked)
    wired = pit.wired
    if wired.trouble or wired.answer is None:
        told: Child = notice(
            h("p", wired.trouble or "These readings cannot be worked out."), kind="stop"
        )
    else:
        told = _answered(wired)
    rows = [h("li", said) for said in wired.readings]
    own = asked.own("meter")
    return [
        told,
        h(
            "details",
            h("summary", "Map of the wiring"),
            h(
                "a",
                h("img", src=f"{pit.home}/harness.svg", alt="the wiring with the likely places"),
                href=f"{pit.home}/harness.svg",
                class_="map",
            ),
        )
        if wired.answer is not None
        else "",
        _meter_form(pit, own, wired),
        h("h3", f"Readings so far ({len(rows)})"),
        h("ol", *rows) if rows else empty("None yet."),
        h(
            "details",
            h("summary", "Another harness"),
            _lay_wiring(pit, asked),
            open=asked.said("form") == "harness" or None,
        ),
    ]


def _answered(wired: Wired) -> Child:
    got = wired.answer
    assert got is not None  # the caller looked
    rows = []
    for one in got.places[:_MOST_PLACES]:
        words = place_words(wired.harness, one.place)
        rows.append(
            h(
                "li",
                h("span", words),
                h("progress", max=1000, value=round(one.chance * 1000), aria_label=words),
                h("b", percent_short(one.chance)),
            )
        )
    if got.refusal is not None:
        return notice(h("p", summary_words(wired.harness, got)), kind="stop")
    next_one = got.tests[0] if got.tests else None
    go, doubt = go_words(wired.harness, got), doubt_words(got)
    return [
        h("ol", *rows, class_="places"),
        notice(h("p", h("b", "Next: "), test_words(wired.harness, next_one.test)))
        if next_one
        else "",
        notice(*(h("p", line) for line in go), kind="check") if go else "",
        notice(h("p", doubt), kind="check") if doubt else "",
    ]


def _meter_form(pit: Pit, asked: Asked, wired: Wired) -> Html:
    answer = wired.answer
    offered = test_words(wired.harness, answer.tests[0].test) if answer and answer.tests else ""
    hint = "what the meter shows for the test above; or any other as S2 to C1: 24.1"
    return fields.form(
        asked,
        f"{pit.home}/prove",
        trouble_box(asked),
        fields.text(asked, "shown", f"Reading of {offered}" if offered else "Reading", hint=hint),
        name="meter",
        seen=pit.count,
        button="Save the reading",
    )


def _lay_wiring(pit: Pit, asked: Asked) -> Html:
    own = asked.own("harness")
    return h(
        "div",
        fields.form(
            asked.own("lay"),
            f"{pit.home}/prove",
            trouble_box(asked.own("lay")),
            fields.text(
                asked.own("lay"),
                "stations",
                "Stations on this box",
                hint="how many",
                mode="numeric",
            ),
            fields.text(
                asked.own("lay"), "far", "Wire from the controller to this box", hint="90 ft"
            ),
            fields.text(asked.own("lay"), "complaint", "What is said to be wrong"),
            name="lay",
            seen=pit.count,
            button="Lay the wiring out",
        ),
        h(
            "details",
            h("summary", "or the text of a harness file"),
            fields.pasted(
                own,
                f"{pit.home}/prove",
                "text",
                "The text of a *.harness.toml",
                seen=pit.count,
                button="Take it in",
            ),
            open=asked.said("form") == "harness" or None,
        ),
    )


def take_prove(pit: Pit, asked: Asked) -> Taken:
    """A test, a reading, a harness, or what the meter showed."""
    go = f"{pit.home}/prove"
    match asked.said("form"):
        case "test":
            return _take_test(asked, go)
        case "after":
            body = {k: asked.said(k).strip() for k in ("quantity", "typed", "zone")}
            wrong = read_wrong(body)
            when = "before" if asked.said("when") == "before" else "after"
            return Taken(trouble=wrong) if wrong else Taken((read_want(body, when),), go)
        case "harness":
            return _take_harness(asked.said("text"), "text", go)
        case "lay":
            return _take_layout(asked, go)
        case "meter":
            return _take_meter(pit, asked, f"{go}#wiring")
    return Taken(trouble={"": "This form is of an older page: open it again."})


def _take_test(asked: Asked, go: str) -> Taken:
    body = {k: asked.said(k).strip() for k in ("what", "result", "zone")}
    wrong = {} if body["what"] else {"what": "Say which test."}
    if not body["result"]:
        wrong["result"] = "Say whether it passed, failed, or is unclear."
    shown = asked.said("shown").strip()
    value, unit = value_and_unit(shown)
    body |= {"value": value, "unit": unit} if value else {"note": shown}
    files = tuple(hash for hash, _ in asked.photos)
    return Taken((Want("test", body, files=files),), go, wrong)


def _take_harness(text: str, name: str, go: str) -> Taken:
    try:
        file = read_harness(text, "the harness")
        for said, _ in file.readings:
            parse_line(said, file.harness)
    except BadInput as mistake:
        return Taken(trouble={name: str(mistake)})
    return Taken((Want("wiring", {"text": text, "summary": file.harness.name}),), f"{go}#wiring")


def _take_layout(asked: Asked, go: str) -> Taken:
    text = asked.said("stations").strip()
    count = int(text) if text.isdecimal() and len(text) < 3 else 0
    if not 1 <= count <= 24:
        return Taken(trouble={"stations": "Give a number from 1 to 24."})
    far = asked.said("far").strip().replace('"', "") or "50 ft"
    stations = "".join(f'\n[[station]]\nid = "S{n}"\nbox = "B1"\n' for n in range(1, count + 1))
    complaint = "".join(c for c in asked.said("complaint") if c.isprintable() and c not in '"\\')
    toml = (
        f'name = "wiring"\ncomplaint = "{complaint[:200]}"\n\n[[box]]\nid = "B1"\n'
        f'length = "{far}"\n'
        f'\n[[common]]\nid = "C1"\n{stations}'
    )
    return _take_harness(toml, "far", go)


def _take_meter(pit: Pit, asked: Asked, go: str) -> Taken:
    wired = pit.wired
    said = asked.said("shown").strip()
    if wired is None or not said:
        return Taken(trouble={"shown": "Type what the meter shows."})
    offered = wired.answer.tests[0].test if wired.answer and wired.answer.tests else None
    try:
        if ":" in said or offered is None:
            line = parse_line(said, wired.harness).text
        else:
            parse_shown(said, offered, wired.harness)
            line = f"{test_words(wired.harness, offered).partition(':')[0]}: {said}"
            parse_line(line, wired.harness)
    except BadInput as mistake:
        return Taken(trouble={"shown": trouble_of(mistake)})
    text = with_readings(wired.text, [*wired.readings, line], ())
    return Taken((Want("wiring", {"text": text, "summary": line}),), go)
