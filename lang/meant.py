"""What a line was meant for that can't be read: by the words that it begins with, or else by its shape."""

from __future__ import annotations

import re

from .expected import first_words, near_first_word
from .reader import Reader

_WORD = re.compile(r"\w+")
_FAR = 200
"""The first words stand within so many characters."""
_NUMBER = r"(?:[0-9]+(?:[./][0-9]+)*|\{[^{}]*\})"
_START = re.compile(rf"\s*(?:{_NUMBER}\s+ch|ring|for\s+{_NUMBER})(?:\s*,\s*joined)?\s*\Z", re.IGNORECASE)
_PIECE = re.compile(r",\s*(?:turned|right-side|joined|spiral)\s+(?:rows?|rounds?)\b", re.IGNORECASE)
_SHAPES = (
    ("gauge", re.compile(rf"\bst\b.*=\s*{_NUMBER}\s*(?:mm|cm|inch)\s+in\b", re.IGNORECASE)),
    (
        "row",
        re.compile(
            r"\A\W*(?:[^\W\d_]+\.?\s*)?[0-9]+(?:\s*[-–−]\s*[0-9]+)?\b[^:,=\"]*:"
            r"|\A[^:,=\"]*\b(?:rows?|rounds?)\b[^:,=\"]*:",
            re.IGNORECASE,
        ),
    ),
)
_OFTEN_SECOND = frozenset({"for", "by"})
_NEAR, _VERY_NEAR = 0.6, 0.8
"""How like a line's first word must be to one of the language to say more than what follows it."""


def meant_for(text: str, reader: Reader) -> str:
    """Return the word that a statement begins with or should have begun with; nothing if none is likely."""
    words: list[str] = [word.lower() for word in _WORD.findall(text[:_FAR])[:2]]
    if not words:
        return ""
    if _START.match(text):
        return "start"
    first, known = words[0], first_words(reader)
    if first in known:
        return first
    if _PIECE.search(text):
        return "piece"
    if words[-1] in known and words[-1] not in _OFTEN_SECOND:
        return words[-1]
    shaped = (word for word, shape in _SHAPES if shape.search(text))
    return (
        near_first_word(first, reader, _VERY_NEAR)
        or next(shaped, None)
        or near_first_word(first, reader, _NEAR)
        or ""
    )
