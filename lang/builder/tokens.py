"""Tokens: what their text says, and which of them are refused though the grammar takes them."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from .. import syntax as s
from ..diagnostics import Diagnostic
from ..reader import Token
from ..source import LINE_BREAK, Span

LARGEST = 10**15
LONGEST_NUMBER = 32

Children = list[Any]
"""What a rule is built of: tokens, nodes and what else its parts were built as, None for a part left out."""


class Refused(Exception):  # noqa: N818 - it reports the author's fault, not ours
    """Stops the reader where a word fits the grammar and is wrong all the same; never leaves this package."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic.message)
        self.diagnostic = diagnostic


def normal(text: str) -> str:
    """Return `text` with its letters composed (NFC), so that one name is one string."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def name_of(token: Token) -> str:
    """Return a name; refuse one with a character that is no letter."""
    text = token.text
    if text.isascii():
        return text
    for at, char in enumerate(text, token.span.start):
        if unicodedata.category(char)[0] not in "LMN" and char != "_":
            raise Refused(
                Diagnostic(
                    "wrong-character",
                    f"`{char}` is no letter, so it can't be part of a name",
                    Span(at, at + 1),
                    help="make a name of letters, digits and `_`",
                )
            )
    return normal(text)


def within(token: Token, digits: str) -> None:
    """Refuse a number that is too large."""
    if len(digits) > LONGEST_NUMBER or float(digits) > LARGEST:
        shown = digits if len(digits) <= 20 else f"{digits[:8]}..."
        raise Refused(
            Diagnostic(
                "too-large",
                f"the number {shown} is too large",
                token.span,
                help="numbers go up to a thousand million million (15 zeros)",
            )
        )


def nth(ordinal: Token) -> int:
    """Return 3 for `3rd`."""
    return whole_of(ordinal, ordinal.text[:-2])


def whole(token: Token) -> int:
    """Return a whole number; refuse one that is too large."""
    return whole_of(token, token.text)


def whole_of(token: Token, text: str) -> int:
    """Return the whole number in `text`, which is part of a token; refuse one that is too large."""
    if len(text) > 15:
        within(token, text.strip())
    return int(text)


def number_of(children: Sequence[Token | None], span: Span) -> s.Number:
    """Return the number of a token, one value or one a size, with the unit behind it if there is one."""
    token, unit = children if len(children) == 2 else (children[0], None)
    assert token is not None
    text = token.text
    if text.isdigit() and len(text) <= 15:
        values: tuple[int | Decimal, ...] = (int(text),)
    else:
        values = tuple(_decimal(token, part) for part in text.split("/"))
    return s.Number(values, unit and unit.text.lower(), span)


def _decimal(token: Token, text: str) -> int | Decimal:
    if len(text) > 15:
        within(token, text)
    return Decimal(text) if "." in text else int(text)


def quoted(token: Token) -> str:
    """Return the words between quotation marks."""
    return normal(token.text[1:-1])


def lines_of(token: Token) -> tuple[str, ...]:
    """Return words line by line, without the blanks around each."""
    lines = (line.strip() for line in LINE_BREAK.split(token.text))
    return tuple(normal(line) for line in lines if line)


def lowered(token: Token) -> str:
    """Return words in small letters with one blank between them."""
    return " ".join(token.text.lower().split())
