"""The pages' HTML: the one way of making markup, which drawings and the carry file use too."""

from __future__ import annotations

from pitwright.paper.markup import Child, Html, h, joined, tidy

__all__ = ["Child", "Html", "h", "joined", "tidy"]
