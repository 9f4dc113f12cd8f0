"""The forms of a page, as a browser finds them."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser

__all__ = ["Control", "SeenForm", "forms_of"]


@dataclass
class Control:
    """One control: its tag or input type, its name, its value, what a list offers."""

    kind: str
    name: str
    value: str = ""
    offered: list[str] = field(default_factory=list)
    chosen: bool = False


@dataclass
class SeenForm:
    """One form: where it goes, under which name it is kept, its controls."""

    action: str
    method: str
    keep: str
    controls: list[Control] = field(default_factory=list)

    @property
    def typed(self) -> list[Control]:
        """What a person fills: all but hidden values and files."""
        return [c for c in self.controls if c.kind not in ("hidden", "file")]

    @property
    def hidden(self) -> dict[str, str]:
        """What goes along."""
        return {c.name: c.value for c in self.controls if c.kind == "hidden"}

    def holds(self) -> dict[str, str]:
        """What stands in it now, by name."""
        found = self.hidden
        for one in self.controls:
            if one.kind == "radio":
                if one.chosen:
                    found[one.name] = one.value
            elif one.kind not in ("hidden", "file"):
                found[one.name] = one.value
        return found


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[SeenForm] = []
        self.form: SeenForm | None = None
        self.area = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        a = {k: v or "" for k, v in attrs}
        if tag == "form":
            self.form = SeenForm(
                a.get("action", ""), a.get("method", "get"), a.get("data-keep", "")
            )
            self.forms.append(self.form)
        if self.form is None:
            return
        if tag == "input" and a.get("name"):
            kind = a.get("type", "text")
            self.form.controls.append(
                Control(kind, a["name"], a.get("value", ""), chosen="checked" in a)
            )
        elif tag in ("select", "textarea"):
            self.form.controls.append(Control(tag, a["name"]))
            self.area = tag == "textarea"
        elif tag == "option" and self.form.controls and self.form.controls[-1].kind == "select":
            one = self.form.controls[-1]
            one.offered.append(a.get("value", ""))
            if "selected" in a:
                one.value = a.get("value", "")

    def handle_data(self, data: str) -> None:
        if self.area and self.form is not None:
            self.form.controls[-1].value += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.form = None
        if tag == "textarea":
            self.area = False


def forms_of(page: str) -> list[SeenForm]:
    """Every form of a page that sends something."""
    reader = _Reader()
    reader.feed(page)
    return [f for f in reader.forms if f.method == "post"]
