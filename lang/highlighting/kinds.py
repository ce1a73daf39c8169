"""The kinds of words, and what kind each of the grammar's terminals is."""

from __future__ import annotations

from enum import Enum


class Kind(Enum):
    """A kind of word that editors give a colour of its own."""

    COMMENT = "comment"
    OPENING = "opening"
    """The first word of a statement: `yarn`, `piece`, `row`."""
    KEYWORD = "keyword"
    STITCH = "stitch"
    """A stitch of the trade, in either dialect."""
    NAME = "name"
    NUMBER = "number"
    UNIT = "unit"
    QUOTED = "quoted"
    TEXT = "text"
    """Words for the maker, as of a `note`."""
    SQUARES = "squares"
    """Of a chart, and the characters that stand for them."""
    OPERATOR = "operator"
    PUNCTUATION = "punctuation"


OF_TERMINAL = {
    **dict.fromkeys(("NUM", "INT", "ORDINAL", "ROW_LIST"), Kind.NUMBER),
    "UNIT": Kind.UNIT,
    "STRING": Kind.QUOTED,
    **dict.fromkeys(("TEXT", "BODY_SIZES"), Kind.TEXT),
    "KEY": Kind.SQUARES,
    **dict.fromkeys(("PLUS", "DASH", "STAR", "_EQUALS"), Kind.OPERATOR),
    **dict.fromkeys(
        ("OPEN", "CLOSE", "BEGIN", "FINISH", "BRACE", "CLOSE_BRACE", "_COMMA", "_COLON"), Kind.PUNCTUATION
    ),
    "NAME": Kind.NAME,
}
"""Kinds by the grammar's names. Every other terminal is a word of the language."""


def kind_of(terminal: str) -> Kind:
    """Return the kind of a terminal, the first of a statement apart."""
    return OF_TERMINAL.get(terminal, Kind.KEYWORD)
