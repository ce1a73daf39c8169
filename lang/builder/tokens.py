"""Tokens: what their text says, where they stand, and which of them are refused."""

from __future__ import annotations

import unicodedata
from decimal import Decimal
from typing import Any

from .. import syntax as s
from ..diagnostics import Diagnostic
from ..source import LINE_BREAK, Span

LARGEST = 10**15
LONGEST_NUMBER = 32

Children = list[Any]


class Refused(Exception):  # noqa: N818 - it reports the author's fault, not ours
    """Stops lark where a word fits the grammar and is wrong all the same; never leaves this package."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic.message)
        self.diagnostic = diagnostic


def span_of(first: Any, last: Any) -> Span:
    return Span(first.start_pos, last.end_pos)


def end_of(child: Any) -> int:
    """Return where a token or a node ends."""
    span = getattr(child, "span", None)
    return child.end_pos if span is None else span.end  # type: ignore[no-any-return]


def last_of(children: Children) -> Any:
    return next(child for child in reversed(children) if child is not None)


def between(children: Children) -> Span:
    """Return the span from a first token to the last child that is there."""
    return Span(children[0].start_pos, end_of(last_of(children)))


def normal(text: str) -> str:
    """Return `text` with its letters composed (NFC), so that one name is one string."""
    return text if text.isascii() else unicodedata.normalize("NFC", text)


def name_of(token: Any) -> str:
    value: str = token.value
    if value.isascii():
        return value
    name = unicodedata.normalize("NFC", value)
    for at, char in enumerate(value):
        if unicodedata.category(char)[0] not in "LMN" and char != "_":
            span = Span(token.start_pos + at, token.start_pos + at + 1)
            raise Refused(
                Diagnostic(
                    "wrong-character",
                    f"`{char}` is no letter, so it can't be part of a name",
                    span,
                    help="make a name of letters, digits and `_`",
                )
            )
    return name


def within(token: Any, digits: str) -> None:
    if len(digits) > LONGEST_NUMBER or float(digits) > LARGEST:
        shown = digits if len(digits) <= 20 else f"{digits[:8]}..."
        raise Refused(
            Diagnostic(
                "too-large",
                f"the number {shown} is too large",
                Span(token.start_pos, token.end_pos),
                help="numbers go up to a thousand million million (15 zeros)",
            )
        )


def nth(ordinal: Any) -> int:
    """Return 3 for `3rd`."""
    digits = ordinal.value[:-2]
    if len(digits) > 15:
        within(ordinal, digits)
    return int(digits)


def whole(token: Any) -> int:
    digits = token.value
    if len(digits) > 15:
        within(token, digits)
    return int(digits)


def whole_of(token: Any, text: str) -> int:
    if len(text.strip()) > 15:
        within(token, text.strip())
    return int(text)


def _decimal(token: Any, text: str) -> int | Decimal:
    if len(text) > 15:
        within(token, text)
    return Decimal(text) if "." in text else int(text)


def number_of(token: Any, unit: Any = None) -> s.Number:
    text = token.value
    span = Span(token.start_pos, token.end_pos if unit is None else unit.end_pos)
    if text.isdigit() and len(text) <= 15:
        values: tuple[int | Decimal, ...] = (int(text),)
    else:
        values = tuple(_decimal(token, part) for part in text.split("/"))
    return s.Number(values, None if unit is None else unit.value.lower(), span)


def quoted(token: Any) -> str:
    return normal(token.value[1:-1])


def lines_of(token: Any) -> tuple[str, ...]:
    lines = (line.strip() for line in LINE_BREAK.split(token.value))
    return tuple(normal(line) for line in lines if line)


def lowered(token: Any) -> str:
    return " ".join(token.value.lower().split())
