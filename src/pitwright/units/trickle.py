"""A trickle as people say it: drips a minute, spoonfuls, a cup an hour, as a flow with one unit."""

from __future__ import annotations

import re

from pitwright.units.kinds import AMOUNTS, SPANS

__all__ = ["plain_flow"]

_AMOUNT = "|".join(sorted((w for _, _, words in AMOUNTS for w in words), key=len, reverse=True))
_SPAN = "|".join(sorted((w for _, _, words in SPANS for w in words), key=len, reverse=True))
_EVERY = re.compile(
    rf"(?:(\d+(?:\.\d+)?)\s+)?({_AMOUNT})\s+every\s+(\d+(?:\.\d+)?)\s*({_SPAN})\b", re.IGNORECASE
)
_EACH = re.compile(rf"({_AMOUNT})\s*(?:/|\b(?:per|an?|each|every)\b)\s*({_SPAN})\b", re.IGNORECASE)
_ONE = re.compile(r"\s*\b(?:an?|one)\s+(?=[a-z])", re.IGNORECASE)


def plain_flow(text: str) -> str:
    """``20 drip/min`` for "20 drips a minute", ``1 cup/h`` for "a cup an hour"; else as it came.

    Source: none needed.
    """
    said = _ONE.sub("1 ", text, count=1) if _ONE.match(text) else text
    said = _EVERY.sub(_over, said)
    return _EACH.sub(lambda m: f" {_unit(m[1])}/{_span(m[2])}", said).strip()


def _over(found: re.Match[str]) -> str:
    count, apart = float(found[1] or 1), float(found[3])
    if apart <= 0.0:
        return found[0]
    return f"{count / apart:.12g} {_unit(found[2])}/{_span(found[4])}"


def _unit(word: str) -> str:
    return next(name for name, _, words in AMOUNTS if word.casefold() in words)


def _span(word: str) -> str:
    return next(name for name, _, words in SPANS if word.casefold() in words)
