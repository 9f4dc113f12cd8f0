"""Form fields: a label, a control of 48 px or more, what is wrong with it, what was typed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pitwright.pages.asked import Asked
from pitwright.pages.frame import trouble_box
from pitwright.paper.markup import Child, Html, Value, h

__all__ = ["area", "choice", "form", "group", "hidden", "length", "pasted", "pick", "text"]


def hidden(name: str, value: str) -> Html:
    """A value that goes along."""
    return h("input", type="hidden", name=name, value=value)


def form(
    asked: Asked,
    action: str,
    *inside: Child,
    name: str,
    seen: int = 0,
    button: str = "Save",
    upload: bool = False,
    plain: bool = False,
) -> Html:
    """A form that posts to ``action``; ``seen`` is the count of the record it was made from.

    ``name`` tells it from other forms of the page: what is typed is kept under it meanwhile.
    """
    return h(
        "form",
        hidden("token", asked.said("token") if asked.trouble else f"{asked.token}{name}"),
        hidden("seen", asked.said("seen", str(seen)) if asked.trouble else str(seen)),
        hidden("form", name),
        *inside,
        h("button", button, type="submit", class_="quiet" if plain else "main"),
        method="post",
        action=action,
        enctype="multipart/form-data" if upload else None,
        data_keep=name,
        novalidate=True,
    )


def _field(asked: Asked, name: str, label: str, control: Html, hint: str, more: Child = "") -> Html:
    wrong = asked.trouble.get(name, "")
    return h(
        "div",
        h("label", label, for_=_id(asked, name)),
        h("p", hint, class_="hint", id=f"{_id(asked, name)}-hint") if hint else "",
        control,
        h("p", wrong, class_="wrong", id=f"{_id(asked, name)}-wrong") if wrong else "",
        more,
        class_="field bad" if wrong else "field",
    )


def _id(asked: Asked, name: str) -> str:
    scoped = f"{asked.scope} {name}" if asked.scope else name
    return "f-" + "".join(c if c.isalnum() else "-" for c in scoped)


def _named(asked: Asked, name: str, hint: str, value: str | None = None) -> dict[str, Value]:
    """What every control has: its name, its id, its value, and which words describe it."""
    wrong = bool(asked.trouble.get(name))
    parts = [f"{_id(asked, name)}-hint"] if hint else []
    parts += [f"{_id(asked, name)}-wrong"] if wrong else []
    return {
        "name": name,
        "id": _id(asked, name),
        "value": value,
        "aria_describedby": " ".join(parts) or None,
        "aria_invalid": "true" if wrong else None,
    }


def group(
    asked: Asked, name: str, label: str, *inside: Child, hint: str = "", kind: str = ""
) -> Html:
    """Several controls under one label; what is wrong with ``name`` stands below them."""
    wrong = asked.trouble.get(name, "")
    look = " ".join(word for word in ("field", kind, "bad" if wrong else "") if word)
    return h(
        "fieldset",
        h("legend", label),
        h("p", hint, class_="hint") if hint else "",
        *inside,
        h("p", wrong, class_="wrong") if wrong else "",
        class_=look,
    )


def text(
    asked: Asked,
    name: str,
    label: str,
    value: str = "",
    *,
    hint: str = "",
    known: Sequence[str] = (),
    mode: str = "",
    kind: str = "text",
    more: Child = "",
) -> Html:
    """One line of text; ``known`` are offered, ``mode`` is the keyboard wanted."""
    listed = f"{_id(asked, name)}-list" if known else None
    control = h(
        "input",
        type=kind,
        **_named(asked, name, hint, asked.said(name, value)),
        list=listed,
        inputmode=mode or None,
        autocomplete="off",
        maxlength=2000,
    )
    offered = h("datalist", *(h("option", value=k) for k in known), id=listed) if known else ""
    return _field(asked, name, label, control, hint, [offered, more])


def length(
    asked: Asked,
    name: str,
    label: str,
    value: str = "",
    *,
    hint: str = "",
    ways: tuple[str, str] | None = None,
    unit: str = "in",
) -> Html:
    """A length in plain words, with a ruler to touch; ``ways`` name its plus and its minus.

    ``unit`` is that of a number without one.
    """
    control = h(
        "input",
        type="text",
        **_named(asked, name, hint, asked.said(name, value)),
        autocomplete="off",
        maxlength=200,
        data_ruler=True,
        data_unit=unit if unit != "in" else None,
        placeholder=unit,
        data_plus=ways[0] if ways else None,
        data_minus=ways[1] if ways else None,
        hx_get="/echo" if unit == "in" else f"/echo?unit={unit}",
        hx_trigger="change, input changed delay:250ms, ruler",
        hx_target=f"#{_id(asked, name)}-echo",
        hx_swap="innerHTML",
    )
    echo = h("output", id=f"{_id(asked, name)}-echo", class_="echo", for_=_id(asked, name))
    return _field(asked, name, label, control, hint, echo)


def area(
    asked: Asked, name: str, label: str, value: str = "", *, hint: str = "", rows: int = 3
) -> Html:
    """Several lines of text."""
    control = h(
        "textarea",
        asked.said(name, value),
        rows=rows,
        **_named(asked, name, hint),
    )
    return _field(asked, name, label, control, hint)


def choice(
    asked: Asked,
    name: str,
    label: str,
    options: Iterable[tuple[str, str]],
    value: str = "",
    *,
    hint: str = "",
) -> Html:
    """One of several, as a list."""
    now = asked.said(name, value)
    every = list(options)
    if now and now not in [v for v, _ in every]:
        every.append((now, now))
    control = h(
        "select",
        *(h("option", said, value=v, selected=v == now) for v, said in every),
        **_named(asked, name, hint),
    )
    return _field(asked, name, label, control, hint)


def pick(
    asked: Asked, name: str, label: str, options: Sequence[tuple[str, str]], value: str = ""
) -> Html:
    """One of a few, as large buttons."""
    now = asked.said(name, value)
    buttons = [
        h(
            "label",
            h("input", type="radio", name=name, value=v, checked=v == now),
            h("span", said),
            class_="pick",
        )
        for v, said in options
    ]
    return group(asked, name, label, h("div", *buttons, class_="picks"))


def pasted(asked: Asked, action: str, name: str, words: str, *, seen: int, button: str) -> Html:
    """The text of a file, typed or pasted in; the form is named by ``asked``'s scope."""
    return form(
        asked,
        action,
        trouble_box(asked),
        area(asked, name, words, rows=6),
        name=asked.scope,
        seen=seen,
        button=button,
    )
