"""What is vendored is what it says it is, and nothing of it asks elsewhere."""

from __future__ import annotations

import csv
import hashlib
import re

from pitwright.server.assets import ADDRESSES, NAMES, asset
from tests.house.reading import ROOT

ASSETS = ROOT / "src" / "pitwright" / "pages" / "assets"


def test_vendored_files_have_the_hash_and_licence_they_are_listed_with() -> None:
    rows = list(csv.DictReader((ASSETS / "vendored.csv").read_text("utf-8").splitlines()))
    assert [r["file"] for r in rows] == ["htmx.min.js"]
    for row in rows:
        data = (ASSETS / row["file"]).read_bytes()
        assert hashlib.sha256(data).hexdigest() == row["sha256"]
        assert (ASSETS / row["licence_file"]).is_file()


def test_every_asset_has_an_address_of_its_own_bytes() -> None:
    for name, address in ADDRESSES.items():
        mark = address.split("/")[2]
        found = asset(mark, name)
        assert found is not None
        assert hashlib.sha256(found[1]).hexdigest().startswith(mark)
        assert asset("0" * 16, name) is None
    assert asset("x", "../app.py") is None


def test_our_styles_and_script_name_no_other_place() -> None:
    for name in ("app.css", "app.js", "mark.svg"):
        text = (ASSETS / name).read_text("utf-8")
        outside = [u for u in re.findall(r"https?://[^\s\"')]+", text) if "www.w3.org" not in u]
        assert outside == []
    assert set(NAMES) == set(ADDRESSES)
