"""``python -m pitwright``."""

import sys

from pitwright.cli.main import run

sys.exit(run())
