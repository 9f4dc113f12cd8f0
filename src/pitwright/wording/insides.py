"""What forbids renewing the insides of a valve, what would allow it, and what to mind, in words."""

from __future__ import annotations

from collections.abc import Callable

from pitwright.findings import Finding

__all__ = ["FINDINGS", "LIFTS", "SHORTS"]

SHORTS: dict[str, str] = {
    "NO_OLD_VALVE": "no old valve is written down for {where}",
    "NOT_OPENED": "nobody has looked inside {where}",
    "NOT_LOOKED_AT": "the {tried} of {where} was not looked at",
    "SHELL_CRACKED": "the shell of {where} is cracked",
    "MODEL_UNKNOWN": "nobody can tell which kind of valve {where} is",
    "BOLT_HOLES_STRIPPED": "the bolts' thread in the shell of {where} is gone",
    "NOT_IN_HAND": "no new {tried} for {where} is in hand",
    "NOTHING_WORN": "nothing in {where} is worn",
}
LIFTS: dict[str, str] = {
    "tell_old_valve": 'write it as [existing.NAME] with kind = "valve" and its zone',
    "open_bonnet": "shut the water off, lift the bonnet, and write down what is seen",
    "look_inside": "look at it and write down what is seen",
    "new_body": "this body goes: ask for a new valve",
    "take_along": "read the name on the bonnet, or take the old diaphragm along to match it",
    "get_piece": "get one that fits this very kind, and say so under in_hand",
    "look_elsewhere": "do not renew it: look at wire, controller, shut-off and grit first",
}
FINDINGS: dict[str, Callable[[Finding], str]] = {
    "water_off_first": lambda f: (
        f"Shut the water off and let the pressure out before a bolt of {f.name('valve')} is turned."
    ),
    "bonnet_off_under_seep": lambda f: (
        f"Stub {f.name('stub')} still runs: with the bonnet off the water rises in the box; bail."
    ),
    "grit_out_of_body": lambda f: (
        f"Rinse the body of {f.name('valve')} and both passages before anything new goes in."
    ),
    "coil_tried_first": lambda f: (
        f"Try the new coil of {f.name('valve')} on its wires before the old one is cut off."
    ),
}
