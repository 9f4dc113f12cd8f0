"""Styles and scripts under addresses that hold their hash, so that a browser may keep them."""

from __future__ import annotations

import hashlib
from functools import cache
from importlib.resources import files

__all__ = ["ADDRESSES", "asset"]

NAMES = {
    "app.css": "text/css; charset=utf-8",
    "app.js": "text/javascript; charset=utf-8",
    "htmx.min.js": "text/javascript; charset=utf-8",
    "mark.svg": "image/svg+xml",
}


@cache
def _bytes(name: str) -> bytes:
    return files("pitwright.pages").joinpath(f"assets/{name}").read_bytes()


def _addresses() -> dict[str, str]:
    return {
        name: f"/assets/{hashlib.sha256(_bytes(name)).hexdigest()[:16]}/{name}" for name in NAMES
    }


ADDRESSES = _addresses()
"""The address of each asset, by its name."""


def asset(mark: str, name: str) -> tuple[str, bytes] | None:
    """Media type and bytes of the asset at an address; None when there is none."""
    if ADDRESSES.get(name) != f"/assets/{mark}/{name}":
        return None
    return NAMES[name], _bytes(name)
