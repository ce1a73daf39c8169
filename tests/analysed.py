"""The patterns on the disk, each analysed once for all the tests that look at it."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from turnchain.compiler.pipeline import Analysis, analyse
from turnchain.lang.source import Source


@cache
def analysed(path: Path) -> Analysis:
    """What is known of the pattern in a file, by itself."""
    return analyse(Source(path.name, path.read_text("utf-8")))
