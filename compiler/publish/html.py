"""HTML: a whole page, or a fragment to paste into a blog.

The fragment holds only what blogs leave in a post: no style, script or drawing, ids with the pattern's own
prefix, headings that begin a level lower (the post has a title already), no blank line, which some would turn
into a paragraph.
"""

from __future__ import annotations

from ..document import Document
from .templating import environment


def render_page(document: Document) -> str:
    """A page that stands alone: it loads nothing, runs nothing, and says so to the browser."""
    from base64 import b64encode
    from hashlib import sha256

    from markupsafe import Markup

    style = environment().get_template("page.css").render()
    digest = b64encode(sha256(style.encode()).digest()).decode()
    page = environment().get_template("page.html")
    return page.render(document=document, whole_page=True, style=Markup(style), style_digest=digest)


def render_fragment(document: Document) -> str:
    """The pattern alone, as one `article`."""
    return environment().get_template("pattern.html").render(document=document, whole_page=False)
