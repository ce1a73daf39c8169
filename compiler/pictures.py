"""Pictures that a pattern names: `picture hat.jpg: The hat on a peg`."""

from __future__ import annotations

from ..lang.syntax import Text
from .document import Picture


def picture(node: Text) -> Picture:
    """Return the picture of a `picture` line: a file, and after a colon what it shows."""
    file, _, words = " ".join(node.lines).partition(": ")
    return Picture(file.strip().removesuffix(":"), words.strip())
