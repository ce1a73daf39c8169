"""Says what is wrong with a statement that the grammar refuses: one diagnostic, the likeliest.

A slip applies where it covers the place that the parser stopped at: what stands wholly before that place was
fine, and what stands behind it was never read. Where none applies, `lang.expected` says what could have stood
there.
"""

from __future__ import annotations

import re
from functools import cache

from .. import grammar
from .diagnostics import Diagnostic, Fix, Label
from .expected import first_words, near_first_word, stray_word
from .mending import doubled, swapped_first
from .reader import Reader
from .slips import SLIPS, Slip
from .source import Span
from .stitches import words_for_names

_NAME = r"[^\W\d_]\w*"
_STRING = re.compile(r"[\"“”„]([^\"“”„\r\n]*)[\"“”„]")
_QUOTES = re.compile('["“”„]')
_NEAR = 500
"""A slip lies within so many characters of the place; patterns that look ahead could take long on more."""


def diagnosed(text: str, stopped: int, reader: Reader) -> Diagnostic:
    """Return the one diagnostic for a statement that the grammar refuses."""
    at, end = _stopped(text, stopped)
    masked = _STRING.sub(lambda found: f'"{"_" * len(found[1])}"', text)
    return (
        _inches(text, at)
        or _unclosed(masked, at)
        or doubled(text, end, reader)
        or _reserved(text, at)
        or _slip(text, masked, at)
        or _spelled_out(text, at)
        or _first_word(text, at, reader)
        or stray_word(text, at, end, reader)
    )


def _stopped(text: str, stopped: int) -> tuple[int, int]:
    """Return the place that the parser stopped at; the end of the text if it wanted more."""
    word = re.compile(rf"{_NAME}|[0-9]+|[\"“”„][^\r\n]*|.", re.DOTALL).match(text, stopped)
    if word is None:
        end = len(text.rstrip())
        return end, end
    return word.span()


def _unclosed(masked: str, at: int) -> Diagnostic | None:
    """Report the innermost bracket or quotation mark still open where the parser stopped."""
    open_at: list[int] = []
    for found in re.finditer(r"[\[\](){}]", masked):
        if found[0] in "[({":
            open_at.append(found.start())
        elif open_at and masked[open_at[-1]] + found[0] in ("[]", "()", "{}"):
            open_at.pop()
        elif found.start() == at and (not open_at or _ends_in_sum(masked, open_at[-1], found.end())):
            return Diagnostic(
                "stray-word",
                f"`{found[0]}` closes a bracket that was never opened",
                Span(*found.span()),
                help="delete it, or open the bracket before it",
            )
        else:
            break
    quote = re.search(r"[\"“”„](?![_]*[\"“”„])", re.sub(r'"_*"', lambda m: "_" * len(m[0]), masked))
    if quote and quote.start() <= at:
        here = quote.start()
        return Diagnostic(
            "unclosed-bracket",
            "the quotation mark is never closed",
            Span(here, here + 1),
            help="close it on the same line",
        )
    if open_at and open_at[-1] <= at:
        here = open_at[-1]
        closer = "])}"["[({".index(masked[here])]
        return Diagnostic(
            "unclosed-bracket",
            f"`{masked[here]}` is never closed",
            Span(here, here + 1),
            help=f"write `{closer}` where it ends",
        )
    return None


_INCHES = re.compile(r"(?<=[0-9])\s*[\"”](?=\s*(?:[x×,=]|in\b|\Z))", re.IGNORECASE)


def _inches(text: str, at: int) -> Diagnostic | None:
    """Report the sign of inches where a length is wanted and no words in quotes are."""
    if not re.match(r"(?:gauge|swatch)\b", text, re.IGNORECASE) and len(_QUOTES.findall(text)) % 2 == 0:
        return None
    found = _INCHES.search(text)
    if found is None or found.start() > at or found.end() < at:
        return None
    span = Span(*found.span())
    number = re.findall("[0-9.]+", text[: found.start()])[-1]
    advice = f"write `{number} inch`"
    fix = Fix(advice, (Label(span, " inch"),), safe=True)
    return Diagnostic("stray-word", "inches are written as a word", span, help=advice, fix=fix)


def _ends_in_sum(masked: str, open_at: int, after: int) -> bool:
    """Tell whether what is open is a sum's brace that is closed further on."""
    return masked[open_at] == "{" and re.match(r"[^\[\](){}]*\}", masked[after:]) is not None


_NAMED = re.compile(
    rf"(?:\A(?:let|stitch|piece|chart|yarn)|\bas)\s+(?!(?:rows?|rounds?)\s+[0-9])(?P<name>{_NAME})|\A(?:stitch|let|piece)\s+(?P<x>x[0-9]*)\b",
    re.IGNORECASE,
)


def _reserved(text: str, at: int) -> Diagnostic | None:
    for found in _NAMED.finditer(text):
        word = found["name"] or found["x"]
        start, end = found.span("name" if found["name"] else "x")
        if start != at:
            continue
        if word.lower() in grammar.reserved_words() or re.fullmatch("x[0-9]*", word, re.IGNORECASE):
            why = "says how often a bracket is worked" if word[0] in "xX" else "is a word of the language"
            return Diagnostic(
                "reserved-name",
                f"`{word}` {why}, so it can't be a name",
                Span(start, end),
                help="choose another name",
            )
    return None


@cache
def _patterns() -> tuple[tuple[Slip, re.Pattern[str]], ...]:
    reserved = grammar.reserved_words()
    return tuple((slip, slip.compiled(reserved)) for slip in SLIPS)


def _slip(text: str, masked: str, at: int) -> Diagnostic | None:
    for slip, pattern in _patterns():
        for found in pattern.finditer(masked, max(0, at - _NEAR), at + _NEAR):
            if found.start() <= at <= found.end():
                return _told(slip, found, text)
            if found.start() > at:
                break
    return None


def _told(slip: Slip, found: re.Match[str], text: str) -> Diagnostic:
    spans = [found.span(group) for group in range(found.re.groups + 1)]
    groups = [text[start:end] if start >= 0 else "" for start, end in spans]
    known = {
        "joined": "_".join("".join(groups[2:4]).split()),
        "bare": "".join(groups[0].split()),
        "slashed": "/".join(re.findall(r"[0-9.]+", groups[0])),
        "once_more": int(found["more"]) + 1 if "more" in found.re.groupindex else 0,
    }

    def filled(words: str) -> str:
        return words.format(*groups, **known)

    advice = filled(slip.help)
    fix = None
    if slip.write is not None:
        fix = Fix(advice, (Label(Span(*found.span()), filled(slip.write)),), slip.safe)
    return Diagnostic(slip.name, filled(slip.message), _shown(found), help=advice, fix=fix)


@cache
def _full_names() -> re.Pattern[str]:
    names = sorted(words_for_names(), key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(re.escape(name) for name in names)})\b", re.IGNORECASE)


def _spelled_out(text: str, at: int) -> Diagnostic | None:
    """Report a stitch whose full name is written where its short one belongs."""
    for found in _full_names().finditer(text, max(0, at - _NEAR), at + _NEAR):
        if found.start() <= at <= found.end():
            word = words_for_names()[found[0].lower()]
            advice = f"write `{word}`"
            fix = Fix(advice, (Label(Span(*found.span()), word),), safe=False)
            return Diagnostic(
                "stray-word",
                "stitches have their short names in rows",
                Span(*found.span()),
                help=advice,
                fix=fix,
            )
    return None


def _shown(found: re.Match[str]) -> Span:
    """Return what the pattern covers without the blanks and commas around it; a comma alone is shown."""
    start, end = found.span()
    for around in (", \t\r\n\xa0", " \t\r\n\xa0"):
        bare = found[0].strip(around)
        if bare:
            start += len(found[0]) - len(found[0].lstrip(around))
            return Span(start, start + len(bare))
    return Span(start, end)


def _first_word(text: str, at: int, reader: Reader) -> Diagnostic | None:
    if at:
        return None
    found = re.match(rf"{_NAME}|[0-9]+|.", text)
    assert found, "a statement has a first character"
    word = found[0]
    message = f"no line begins with `{word}`"
    span = Span(0, found.end())
    swapped = swapped_first(text, first_words(reader), reader)
    if swapped is not None:
        return swapped
    near = near_first_word(word, reader)
    if near is not None:
        fix = Fix(f"write `{near}`", (Label(span, near),), safe=False)
        return Diagnostic("stray-word", message, span, help=f"write `{near}`", fix=fix)
    advice = (
        "begin it with `row`, `piece`, `note` or the like, or indent it if it goes on from the line above"
    )
    return Diagnostic("stray-word", message, span, help=advice)
