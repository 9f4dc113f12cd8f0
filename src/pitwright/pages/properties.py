"""The first page: properties by name, the search, a new one; and the page of one property."""

from __future__ import annotations

from pitwright.pages import fields
from pitwright.pages.asked import Asked, Page, Taken, Want
from pitwright.pages.frame import empty, shell, trouble_box
from pitwright.pages.html import Child, Html, h
from pitwright.pages.standing import Land, Shop

__all__ = [
    "LAND_FIELDS",
    "MOST",
    "land_page",
    "shop_page",
    "take_land",
    "take_pit",
    "take_property",
]

MOST = 40
"""Properties on one page. [-]"""
_LAND = (
    ("name", "Name of the property", ""),
    ("owner", "Owner", ""),
    ("phone", "Telephone", ""),
    ("address", "Where it is", ""),
    ("note", "Note", ""),
)
LAND_FIELDS = tuple(name for name, _, _ in _LAND)
"""What a property says of itself."""


_WHAT = (
    "Measure one opened valve box, and Pitwright works out how its valve can be renewed: what to "
    "cut, to which length, in which order, and how sure it is. Lengths are in inches unless you "
    "write another unit."
)


def shop_page(shop: Shop, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """All properties, or those that were searched for."""
    return shell(
        "Properties",
        _search(shop),
        _found(shop),
        _more(shop),
        h("details", h("summary", "Add a property"), _new(asked), open=bool(asked.trouble)),
        notices=notices,
        under="Everything here stays on this machine.",
    )


def _search(shop: Shop) -> Html:
    return h(
        "form",
        h("label", "Search for a name, a splice, a thin wall", for_="q"),
        h(
            "div",
            h("input", type="search", name="q", id="q", value=shop.searched, maxlength=200),
            h("button", "Search", type="submit", class_="quiet"),
            class_="beside",
        ),
        method="get",
        action="/",
        role="search",
    )


def _found(shop: Shop) -> Child:
    if not shop.shown and not shop.hits:
        if shop.searched:
            return empty("Nothing here holds all these words.")
        return [h("p", _WHAT), empty("No property yet. Add the first one below.")]
    lands = [h("li", h("a", p.name, href=f"/property/{p.subject}")) for p in shop.shown]
    hits = [
        h("li", h("a", said, h("small", where), href=address)) for address, where, said in shop.hits
    ]
    said = h("h2", "Where these words stand") if hits else ""
    return [
        h("ul", *lands, class_="list") if lands else "",
        said,
        h("ul", *hits, class_="list") if hits else "",
    ]


def _more(shop: Shop) -> Child:
    links = []
    if shop.start > 0:
        links.append(h("a", "Earlier names", href=f"/?start={max(0, shop.start - MOST)}"))
    if shop.start + MOST < shop.count:
        links.append(h("a", "Later names", href=f"/?start={shop.start + MOST}"))
    return h("p", *links, class_="beside") if links else ""


def _new(asked: Asked) -> Html:
    rows = [fields.text(asked, name, label, hint=hint) for name, label, hint in _LAND]
    return fields.form(
        asked, "/property", trouble_box(asked), *rows, name="property", button="Add the property"
    )


def take_property(asked: Asked, site: str) -> Taken:
    """A new property, under a new id."""
    body = {name: asked.said(name).strip() for name, _, _ in _LAND}
    if not body["name"]:
        return Taken(trouble={"name": "Give the property a name you will know it by."})
    want = Want("property", body, site=site, subject=site, shown=f"property {body['name']}")
    return Taken((want,), f"/property/{site}")


def land_page(land: Land, asked: Asked, notices: tuple[Child, ...] = ()) -> Page:
    """One property with its pits."""
    facts = [
        h("p", h("b", f"{label}: "), str(land.facts[name]))
        for name, label, _ in _LAND[1:]
        if land.facts.get(name)
    ]
    pits = [h("li", h("a", p.name, href=f"/pit/{p.subject}")) for p in land.pits]
    change, new = asked.own("land"), asked.own("pit")
    return shell(
        land.place.name,
        *facts,
        h(
            "details",
            h("summary", "Change what is said here"),
            _change(land, change),
            open=bool(change.trouble),
        ),
        h("h2", "Pits"),
        h("ul", *pits, class_="list") if pits else empty("No pit yet: add the box you opened."),
        h(
            "details",
            h("summary", "Add a pit"),
            fields.form(
                new,
                f"/property/{land.place.site}/pit",
                trouble_box(new),
                fields.text(new, "label", "Name of the pit", hint="by where it is: north gate"),
                fields.text(new, "zones", "Zones", hint="numbers or names, with commas between"),
                fields.length(new, "depth", "How deep the box is"),
                name="pit",
                seen=land.count,
                button="Add the pit",
            ),
            open=bool(new.trouble) or not land.pits,
        ),
        up=("/", "Properties"),
        notices=notices,
    )


def _change(land: Land, asked: Asked) -> Html:
    rows = [
        fields.text(asked, name, label, str(land.facts.get(name, ""))) for name, label, _ in _LAND
    ]
    return fields.form(
        asked,
        f"/property/{land.place.site}",
        trouble_box(asked),
        *rows,
        name="land",
        seen=land.count,
        button="Save the changes",
    )


def take_pit(land: Land, asked: Asked, pit: str) -> Taken:
    """A new pit on a property, under a new id."""
    body = {name: asked.said(name).strip() for name in ("label", "zones", "depth")}
    if not body["label"]:
        return Taken(trouble={"label": "Name the pit by where it is."})
    site = land.place.site
    return Taken(
        (Want("pit", body, site=site, subject=pit, shown=f"pit {body['label']}"),), f"/pit/{pit}"
    )


def take_land(land: Land, asked: Asked) -> Taken:
    """Changes of what a property says of itself; nothing where all stands as it did."""
    now = {name: str(land.facts.get(name, "")) for name, _, _ in _LAND}
    body = {name: asked.said(name, now[name]).strip() for name, _, _ in _LAND}
    go = f"/property/{land.place.site}"
    if not body["name"]:
        return Taken(trouble={"name": "Give the property a name you will know it by."})
    if body == now:
        return Taken(go=go)
    return Taken((Want("property", {**land.facts, **body}, "property"),), go)
