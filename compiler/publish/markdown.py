"""Markdown that every engine reads alike, with no HTML in it."""

from __future__ import annotations

import re

from ..document import Chart, Document, Picture
from .addresses import address
from .layout import Layout
from .templating import filled
from .text import squares

# Engines agree on a backslash before these alone; what else has a meaning to one of them is written as its
# number. So are braces: site builders look for `{{` and `{%` before any Markdown is read.
_ESCAPES = str.maketrans(
    {character: f"\\{character}" for character in r"\*_`[]#"}
    | {character: f"&#{ord(character)};" for character in "{}|~$"}
    | {"<": "&lt;", ">": "&gt;", "&": "&amp;"}
)
_START = re.compile(r"\A(?:([0-9]+)([.)])(?!\S)|([-+!])|([:=?^%/@]))")
# Engines that make links of bare addresses take what we escape inside them for a part of the address.
_ADDRESS = re.compile(r":(?=//)|(?<=www)\.", re.IGNORECASE)
# Engines that set type make these a dash or an ellipsis.
_RUN = re.compile(r"--+|\.\.+")


def render(document: Document, layout: Layout) -> str:
    """The pattern as a post: headings, paragraphs, bulleted lists and, for cautions, quotations.

    Rows carry their own numbers in bold, so that no engine counts them anew.
    """
    front = layout.front_matter
    values = {
        "document": document,
        "heading": front is None or front.heading,
        "drawn": _fenced if front is not None and front.charts == "fenced" else _indented,
        "drawn_picture": _picture,
    }
    post = filled("post.md", values, layout.templates, escape)
    above = front.written(document, layout.date) if front is not None else ""
    return above + re.sub(r"\n{3,}", "\n\n", post).strip("\n") + "\n"


def _indented(chart: Chart) -> str:
    """A chart's squares as a block that every engine leaves as it stands where it is not told otherwise."""
    from markupsafe import Markup

    return Markup("\n".join(f"    {line}" for line in squares(chart)))


def _fenced(chart: Chart) -> str:
    """The same for engines that leave those out. No line can end it, since each begins with its number."""
    from markupsafe import Markup

    return Markup("\n".join(("```", *squares(chart), "```")))


def _picture(picture: Picture) -> str:
    from markupsafe import Markup

    return Markup(f"![{escape(picture.words)}]({address(picture)})")


def escape(text: str) -> str:
    """The text, on one line, so that it comes out as it stands wherever a line, item or word may begin."""
    escaped = _RUN.sub(lambda run: "".join(f"\\{mark}" for mark in run[0]), text.translate(_ESCAPES))
    escaped = _ADDRESS.sub(lambda mark: f"&#{ord(mark[0])};", escaped)
    return _START.sub(_escape_start, escaped)


def _escape_start(start: re.Match[str]) -> str:
    number, after_number, portable, other = start.groups()
    if number:
        return f"{number}\\{after_number}"
    return f"\\{portable}" if portable else f"&#{ord(other)};"
