"""Cuts a file into statements, and comments out of statements.

A line in column 1 begins a statement; the indented lines under it go on from it. Nothing is parsed here, so a
fault in one statement can't reach the next.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from .source import LINE_BREAK, Span
from .syntax import Comment

_LINE = re.compile(r"([^\r\n]*)(?:\r\n|\n|\r|\Z)")
_ONLY_COMMENT = re.compile(r"\s*#(?:\s|\Z)")
# In a line of words a quotation mark is a character like any other, so only code shields `#` by quoting.
_WORDS = re.compile(
    r"(?:pattern|by|level|time|notions|sizes|for|picture|note|finish|caution|answer|yarn)(?!\w)",
    re.IGNORECASE,
)
_COMMENT = re.compile(r"(?<!\S)#(?!\S)[^\r\n]*")
_STRING_OR_COMMENT = re.compile(r"[\"“”„][^\"“”„\r\n]*[\"“”„]|(?<!\S)#(?!\S)[^\r\n]*")
_SQUARES_UNDER = re.compile(r"chart(?!\w)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The lines of one statement, as they stand in the file."""

    start: int
    text: str
    blank_before: bool


@dataclass(frozen=True, slots=True)
class Cut:
    """A statement's text with its comments blanked out, offsets kept."""

    code: str
    comments: tuple[Comment, ...]


def stretches(text: str, start: int | None = None, *, blank_before: bool = False) -> Iterator[Stretch]:
    """Yield the statements of `text` in order; a comment in column 1 is one by itself.

    From `start` on only, where a statement begins that is no comment and not the first of the file, and
    before which an empty line may stand.

    Where comments in column 1 stand between a statement and its indented continuation, they belong to it: a
    line that somebody commented out must not cut a row in two.
    """
    begin = end = -1
    blank = blank_before
    pending: list[Stretch] = []
    first = start is None
    if start is None:
        start = 1 if text.startswith("\ufeff") else 0
    for found in _LINE.finditer(text, start):
        line = found[1]
        if not line or line.isspace():
            blank = True
            continue
        indented = line[0].isspace()
        if "#" in line and _ONLY_COMMENT.match(line) and (pending or begin < 0 or not indented):
            pending.append(Stretch(found.start(), line, blank and not first))
        elif indented and begin >= 0:
            end = found.end(1)
            pending.clear()
        else:
            if begin >= 0:
                yield Stretch(begin, text[begin:end], blank_before)
            if pending:
                yield from pending
                pending.clear()
            begin, end = found.span(1)
            blank_before = blank and not first
        first = blank = False
    if begin >= 0:
        yield Stretch(begin, text[begin:end], blank_before)
    yield from pending


def cut(text: str) -> Cut:
    """Return a statement's code and its comments."""
    if "#" not in text:
        return Cut(text, ())
    pattern = _COMMENT if is_words(text) else _STRING_OR_COMMENT
    comments = []
    pieces = []
    at = 0
    for found in pattern.finditer(text):
        if found[0][0] != "#":
            continue
        words = found[0].rstrip()
        start = found.start()
        comments.append(Comment(words, Span(start, start + len(words))))
        pieces += [text[at:start], " " * len(found[0])]
        at = found.end()
    pieces.append(text[at:])
    return Cut("".join(pieces), tuple(comments))


def is_words(text: str) -> bool:
    """Tell whether a statement is a line of words, such as a `note`, and no code."""
    return _WORDS.match(text) is not None


def squares_under(code: str) -> tuple[str, tuple[str, ...]]:
    """Return the first line of a `chart` and the squares under it; another statement whole, and none."""
    if ("\n" not in code and "\r" not in code) or not _SQUARES_UNDER.match(code):
        return code, ()
    head, *rows = LINE_BREAK.split(code)
    return head, tuple(row.strip() for row in rows if row.strip())
