"""HTML: a whole page, or a fragment to paste into a blog.

The page has boxes to tick and, where there are several sizes, a choice that shows one of them; both are
controls of the browser's and need no script. The fragment holds only what blogs leave in a post: no style,
script, control or drawing, ids with the pattern's own prefix, headings that begin a level lower (the post has
a title already), no blank line, which some would turn into a paragraph.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from ..document import Document
from .addresses import address
from .layout import Layout
from .linked_data import linked_data
from .sizes import parts
from .style import style
from .templating import filled

if TYPE_CHECKING:
    from markupsafe import Markup


def render_page(document: Document, layout: Layout) -> str:
    """A page that stands alone: it loads nothing, runs nothing, and says so to the browser."""
    from markupsafe import Markup

    every = tuple(range(1, len(document.sizes) + 1))
    values = {
        "document": document,
        "whole_page": True,
        **style(document.by or document.title, len(every), layout.templates),
        "linked_data": Markup(linked_data(document, layout)),
        "layout": layout,
        "address": address,
        "by_size": lambda text, sizes=(): _by_size(text, sizes or every),
    }
    return filled("page.html", values, layout.templates)


def render_fragment(document: Document, layout: Layout) -> str:
    """The pattern alone, as one `article`."""
    values = {
        "document": document,
        "whole_page": False,
        "by_size": lambda text, sizes=(): text,
        "address": address,
    }
    return filled("pattern.html", values, layout.templates)


def _by_size(text: str, sizes: Sequence[int]) -> str | Markup:
    """The text with every size's numbers in an element of their own, so that a style can show one size.

    `sizes` are those that the text is for, the first of the pattern being 1.
    """
    if len(sizes) < 2:
        return text
    from markupsafe import Markup, escape

    cut = list(parts(text, len(sizes)))
    if len(cut) < 2 and not any(isinstance(part, tuple) for part in cut):
        return text
    return Markup("").join(escape(part) if isinstance(part, str) else _numbers(part, sizes) for part in cut)


def _numbers(numbers: tuple[str, ...], sizes: Sequence[int]) -> Markup:
    from markupsafe import Markup

    first, *others = (
        Markup('<span class="of of-{}">{}</span>').format(size, number)
        for size, number in zip(sizes, numbers, strict=True)
    )
    between = Markup('<span class="of">{}</span>')
    inside = between.format(", ").join(others)
    return Markup("{}{}{}{}").format(first, between.format(" ("), inside, between.format(")"))
