"""What is left with the owner: a page of what was found, done, proved; a card for the box. [mm]"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pitwright.paper.blocks import (
    Block,
    Bullets,
    Drawing,
    Heading,
    Kept,
    Paragraph,
    Side,
    Table,
)
from pitwright.paper.flow import flow
from pitwright.paper.pdf import pdf
from pitwright.paper.pit_history import tie_drawing
from pitwright.paper.scene import Scene
from pitwright.paper.sheet import PAPERS, Paper, Sheet
from pitwright.paper.view import view
from pitwright.records.ties import Tie
from pitwright.wording import owner as words
from pitwright.wording.record import CAUTIONS

__all__ = ["Leaving", "box_card_pdf", "box_card_sheet", "owner_pdf", "owner_sheet"]

_SMALL = 3.6


@dataclass(frozen=True, slots=True)
class Leaving:
    """What a finished job leaves behind, each line in words already.

    ``read`` are rows of what was read, before and after; ``scene`` is the pit as it was left [m];
    ``built`` says what was built in, for the card.
    """

    land: str
    pit: str
    day: str
    found: tuple[str, ...]
    done: tuple[str, ...]
    proved: tuple[str, ...]
    read: tuple[tuple[str, str, str], ...]
    left: tuple[str, ...]
    zones: tuple[str, ...]
    ties: tuple[Tie, ...]
    scene: Scene | None
    water: str = ""
    built: tuple[str, ...] = ()


def owner_sheet(leaving: Leaving, paper: Paper) -> Sheet:
    """The owner's page. [mm]"""
    title = words.owner_title(leaving.land, leaving.pit)
    left, _, right, _ = paper.inside
    blocks: list[Block] = [Heading(title, 1), Paragraph(leaving.day, _SMALL)]
    blocks += _listed(words.FOUND, leaving.found)
    blocks += _listed(words.DONE, leaving.done)
    blocks += _picture(leaving.scene, right - left, finished=bool(leaving.built))
    blocks += _listed(words.PROVED, leaving.proved)
    if leaving.read:
        blocks.append(Table(words.READ_HEAD, leaving.read, (3.0, 1.5, 1.5), size=_SMALL))
    if leaving.left:
        blocks += _listed(words.LEFT, leaving.left)
    blocks += [*_ties(leaving.ties)]
    blocks.append(Kept((Heading(words.NEXT), Bullets(words.WATCH, _SMALL))))
    pages = flow(blocks, paper, head=title, foot=words.FOOT, page_words=words.PAGE)
    return Sheet(title, pages, leaving.day)


def owner_pdf(leaving: Leaving, paper: str) -> bytes:
    """The owner's page as PDF on "letter" or "a4". Raises KeyError for another paper. [mm]"""
    return pdf(owner_sheet(leaving, PAPERS[paper]))


def box_card_sheet(leaving: Leaving, paper: Paper) -> Sheet:
    """The card that stays in the box: where the water stops, zones, ties. [mm]"""
    title = words.card_title(leaving.pit)
    blocks: list[Block] = [Heading(title, 1), Paragraph(f"{leaving.land}. {leaving.day}", _SMALL)]
    if leaving.water:
        blocks.append(Paragraph(leaving.water, bold=True))
    blocks += _listed("Zones", leaving.zones)
    blocks += _listed(words.BUILT, leaving.built) if leaving.built else []
    blocks += _ties(leaving.ties)
    blocks += _listed(words.LEFT, leaving.left) if leaving.left else []
    blocks += [Bullets(CAUTIONS, _SMALL), Paragraph(words.CARD, _SMALL, bold=True)]
    pages = flow(blocks, paper, head=title, foot=words.FOOT, page_words=words.PAGE)
    return Sheet(title, pages, leaving.day)


def box_card_pdf(leaving: Leaving, paper: str) -> bytes:
    """The card as PDF. Raises KeyError for another paper than "letter" or "a4". [mm]"""
    return pdf(box_card_sheet(leaving, PAPERS[paper]))


def _listed(head: str, lines: Sequence[str]) -> list[Block]:
    if not lines:
        return [Heading(head), Paragraph(words.NOTHING, _SMALL)]
    return [Heading(head), Bullets(tuple(lines), _SMALL)]


def _picture(scene: Scene | None, width: float, *, finished: bool) -> list[Block]:
    if scene is None:
        return []
    drawn = view(scene, "isometric", width * 0.8, 92.0, air=11.0)
    said = words.PICTURE if finished else words.PICTURE_OPEN
    return [Drawing(drawn.shapes, drawn.width, drawn.height, drawn.name, said, said)]


def _ties(ties: Sequence[Tie]) -> list[Block]:
    if not ties:
        return []
    drawn: list[Block] = [tie_drawing(tie) for tie in ties]
    rows: list[Block] = [Heading(words.WHERE)]
    for k in range(0, len(drawn), 2):
        pair = drawn[k : k + 2]
        columns: tuple[tuple[Block, ...], ...] = tuple((d,) for d in pair)
        if len(pair) == 1:
            columns = (columns[0], (Paragraph("", _SMALL),))
        rows.append(Side(columns, (1.0, 1.0), 4.0))
    return rows
