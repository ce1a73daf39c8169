"""A whole text in the tidy form."""

from __future__ import annotations

from ...lang.printer import printed
from ..commands.tidy import says_the_same
from ..pipeline import Analysis


def tidied(analysis: Analysis) -> str | None:
    """Return the tidy text of a pattern; None if a line can't be read, or it is tidy already."""
    tree = analysis.tree
    if not tree.statements or any(each.faulty for each in tree.statements):
        return None
    text = printed(tree)
    return text if text != analysis.source.text and says_the_same(text, tree) else None
