"""Draw the picture of a pit sheet that the README shows, from the example pit.

Run by a maintainer after the sheet has changed: ``python tools/picture.py``.
"""

from __future__ import annotations

from pathlib import Path

from pitwright.catalogue.shelf import load_shelf
from pitwright.paper.pit_sheet import pit_sheet
from pitwright.paper.sheet import LETTER
from pitwright.paper.svg import svg_page
from pitwright.planning import plan
from pitwright.survey.pit import load_survey

ROOT = Path(__file__).resolve().parents[1]
PICTURES = {"pit-sheet-1.svg": 0, "pit-sheet-2.svg": 1}
"""File and page of the sheet."""


def main() -> None:
    """Write both pictures under docs/pictures."""
    survey = load_survey(ROOT / "examples" / "school-garden.pit.toml", load_shelf())
    sheet = pit_sheet(plan(survey), LETTER)
    folder = ROOT / "docs" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, page in PICTURES.items():
        drawn = svg_page(sheet.pages[page], sheet.title, prefix=name.removesuffix(".svg") + "-")
        (folder / name).write_text(drawn, encoding="utf-8")


if __name__ == "__main__":
    main()
