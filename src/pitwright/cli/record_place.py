"""Where the record lies, as options: light, so that commands that rarely touch it start fast."""

from __future__ import annotations

import argparse

__all__ = ["FOLDER", "PLACE", "place_options"]

PLACE = "PITWRIGHT_RECORD"
"""Environment variable that names the record, where ``--record`` is not given."""
FOLDER = "pitwright-record"


def place_options(parser: argparse.ArgumentParser) -> None:
    """The options that say which record."""
    parser.add_argument(
        "--record", metavar="PLACE",
        help=f"folder, or postgresql:// address (default: ${PLACE}, else ./{FOLDER})",
    )  # fmt: skip
    parser.add_argument(
        "--files", metavar="DIR", help="folder of photos and files, with a postgresql:// record"
    )
