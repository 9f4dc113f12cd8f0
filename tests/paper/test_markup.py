from __future__ import annotations

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from pitwright.paper.markup import Html, h, joined


class Read(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.texts: list[str] = []
        self.values: list[str | None] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.values += [v for _, v in attrs]

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


texts = st.text(st.characters(exclude_categories=["Cs", "Cc"]), max_size=60)


@given(texts, texts)
def test_whatever_is_text_stays_text(inside: str, value: str) -> None:
    read = Read()
    read.feed(h("p", inside, title=value))
    read.close()
    assert read.tags == ["p"]
    assert "".join(read.texts) == inside
    assert read.values == [value]


@given(st.text(max_size=40))
def test_no_control_character_and_no_half_character_gets_out(text: str) -> None:
    made = h("p", text)
    made.encode("utf-8")
    assert not any(ord(c) < 32 and c not in "\n\t" for c in made)


def test_markup_made_here_is_not_escaped_again() -> None:
    assert h("p", h("b", "a & b")) == "<p><b>a &amp; b</b></p>"
    assert joined("a<", Html("<br>")) == "a&lt;<br>"
    assert h("input", disabled=True, checked=False, name="a") == '<input disabled name="a">'
