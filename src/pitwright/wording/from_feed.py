"""A header rebuilt from its feed: what it asks, what stops it, what would allow it."""

from __future__ import annotations

from collections.abc import Callable

from pitwright.findings import Finding
from pitwright.joining.assembly import Step

__all__ = ["FINDINGS", "LIFTS", "SHORTS", "STEPS"]

SHORTS: dict[str, str] = {
    "NO_HEADER": "no header is written down that is to be rebuilt",
    "NO_PART": "the shelf has no union, tee or female adapter for a {tried} in {where}",
    "OTHER_SIZE": "the shut-off {where} is of another size than the header ({tried} in)",
    "FEED_BARE": "the feed {where} has too little bare pipe to be joined ({tried})",
    "BRANCH_ALONG": "zone {where} goes on almost along the header: no tee points its way",
    "NO_BUSHING": "the shelf has no bushing {tried} for zone {where}",
    "HEADER_ROOM": "the new header would stand {missed} in the way of {where}",
    "HEADER_SHORT": "so many tees do not stand along the {where} within the dug hole",
    "NO_PLACES": "no places of the tees along the {where} are left to be tried",
    "BRANCHES_CLASH": "{where} would stand {missed} in each other",
}
LIFTS: dict[str, str] = {
    "say_header": "write it under [header], with its feed and its zones",
    "same_size": "take one of the header's size, or say another size for the header",
    "turn_header": "bring the feed round with an elbow first, and measure the new stub",
    "dig_header": "dig the hole longer along the header, or cut the feed farther back",
    "farther_apart": "a longer header, or a smaller valve",
}
FINDINGS: dict[str, Callable[[Finding], str]] = {
    "flush_before_bodies": lambda f: (
        "Flush the header through its open flush point before any valve stands behind it, "
        "then plug it."
    ),
    "header_without_shut_off": lambda f: (
        "No shut-off in the new header: with one, the next repair needs no water cut elsewhere."
    ),
    "box_comes_out": lambda f: (
        "The spool does not pass the mouth of the box level: the box comes out first, or the spool "
        "is put together in the pit."
    ),
    "places_cut_short": lambda f: (
        f"The search for the tees' places was cut short after {f.number('most'):.0f} branches: "
        "others may do better."
    ),
}
STEPS: dict[str, Callable[[Step], str]] = {
    "bushing_in": lambda s: f"On the bench glue the bushing into the tee of {s.name('zone')}.",
    "branch_in": lambda s: f"Put in the branch of {s.name('zone')}: its own steps.",
    "flush_through": lambda s: (
        "Open a little, flush through the flush point until it runs clear, shut, plug it."
    ),
}
