"""What could have stood where the parser stopped, in words of the trade."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache

from .. import grammar
from .diagnostics import Diagnostic, Fix, Label
from .mending import lacks_comma, misspelt
from .reader import Reader
from .source import Span
from .stitches import DIALECTS, vocabulary

_MOST = 5

_NAMES = {
    "_IN": "a place such as `st` or `sp`",
    "_TO": "the place to stop at",
    "_AS": "a name for the mark",
    "_WITH": "the name of a yarn",
    "_AT": "a mark such as `corner`",
    "_OF": "the name of a piece",
    "_LIKE": "the name of a piece",
    "ON": "an edge such as `left`",
    "SEAM": "an edge such as `left`",
    "YARN": "a name",
    "LET": "a name",
    "FIT": "a part of the body such as `head`",
    "STITCH": "a name",
    "PIECE": "a name",
    "CHART": "the name of a chart",
    "ORDINAL": "`ch` or another place",
    "EACH": "`ch` or another place",
    "SKIP": "a place such as `sp`",
    "_EQUALS": "a name",
    "BRACE": "a name",
    "LABEL": "a name",
}

# Characters, beside letters and digits, that mean something somewhere in a line.
_SIGNS = '_.,:=#"“”„()[]{}+-–−*/×'
_ALONE = re.compile(r"[:,\[(]\s*([^\W\d_]\w*)\Z")
_INDENTED = re.compile(r"[\r\n][ \t\xa0]+\Z")

# By terminal, what is likeliest to be meant first.
_PHRASES = {
    "_COLON": "`:`",
    "TEXT": "some words",
    "MANNER": "`turned rows`, `right-side rows`, `joined rounds`, `turned rounds`, `spiral rounds`",
    "_LIKE": "`as` and another piece",
    "DIALECT": "`US` or `UK`",
    "UNIT": "a unit such as `cm`",
    "NAME": "a stitch",
    "NUM": "a number",
    "INT": "a whole number",
    "_COMMA": "`,`",
    "_IN": "`in` and a place",
    "_TO": "`to` and a place to stop at",
    "_X": "`x` and a number",
    "TOG": "`tog`",
    "_EQUALS": "`=`",
    "$END": "the end of the line",
    "CLOSE": "`]`",
    "FINISH": "`)`",
    "CLOSE_BRACE": "`}`",
    "_AS": "`as` and a mark",
    "_OVER": "`over` and a number",
    "_MAKES": "`makes` and what is made",
    "_AT": "`at` and a place",
    "_OF": "`of` and a piece or chains",
    "_FOR": "`for` and a number",
    "_AND": "`and` and another edge",
    "FIRST": "`first` and a number",
    "ROUNDING": "`up`, `down` or `nearest`",
    "_BEFORE": "`before` and a place",
    "END": "`end`",
    "MIDDLE": "`middle`",
    "LAST": "`last` and a number",
    "EACH": "`each`",
    "ORDINAL": "`2nd` or the like",
    "REST": "`rest`",
    "RING": "`ring`",
    "ALONG": "`along` and an edge",
    "JOINED": "`joined`",
    "SEWN": "`sewn in` and a way to sew",
    "EASED": "`eased`",
    "MIRRORED": "`mirrored`",
    "ON": "`on` and an edge",
    "ROW": "`row`",
    "ROWS": "`rows`",
    "NEXT": "`next`",
    "EVENLY": "`evenly`",
    "_EVERY": "`every` and a number of rows",
    "STAGGERED": "`staggered`",
    "SYMMETRICAL": "`symmetrical`",
    "KEEP": "`keep` and a number",
    "EASE": "`ease` and a length",
    "BODY_SIZES": "sizes of the table such as `6 months/2 years`",
    "DEPTH": "`depth` or `height` and a length",
    "ANY_SIDE": "`any side`",
    "ON_ROWS": "`on rows` and their numbers",
    "ROW_LIST": "the numbers of rows",
    "_UNTIL": "`until` and a number",
    "DASH": "`-`",
    "PLUS": "`+`",
    "STAR": "`*`",
    "DIV": "`div`",
    "OPEN": "`[`",
    "BEGIN": "`(`",
    "BRACE": "`{`",
    "JOIN": "`join` and a place of a piece",
    "STRING": "words in quotes",
    "KEY": "a character and `=`",
    "SIDE": "`rs` or `ws`",
    "_WITH": "`with` and a yarn",
    "IN_SIZE": "`in size` and its name",
    "LOOP": "`blo` or `flo`",
    "CHAINS_COUNT": "`chains count`",
    "TCH": "`tch` and a number",
    "_AND_BACK": "`and back` and a bracket",
    "CROSSED": "`crossed`",
    "INTO": "`into` and a row",
    "BEGINNING": "`begin` and a place",
    "TURNWISE": "`back` or `on`",
    "STEPS": "`steps`",
    "_MAKE": "`make` and a number",
    "COUNTS": "`counts` or `loop`",
    "BELOW": "`below`",
    "SKIP": "`skip`",
    "LEAVE": "`leave`",
    "STITCHES": "`stitches(...)`",
    "ODD": "`odd`",
    "EVEN": "`even`",
    "MULTIPLE": "`multiple` and a number",
}


def stray_word(text: str, at: int, end: int, reader: Reader) -> Diagnostic:
    """Return the diagnostic for a word that can't stand where it does."""
    found = text[at:end].strip()
    last, accepted = reader.following(text[:at])
    could = _phrases(last, accepted)
    advice = f"here could stand {_either(could)}" if could else ""
    if not found:
        return Diagnostic("stray-word", "the line ends too soon", Span(max(0, at - 1), at), help=advice)
    shown = f"`{found if len(found) <= 30 else found[:29] + '…'}`"
    span = Span(at, end)
    if not (found[0].isalnum() or found[0] in _SIGNS):
        return Diagnostic("wrong-character", f"{shown} is no character of the language", span, help=advice)
    meant = misspelt(text, at, end, accepted, reader)
    if meant is not None:
        return meant
    if "_COMMA" in accepted and lacks_comma(text, at, end, reader):
        before = len(text[:at].rstrip())
        alone = _ALONE.search(text, 0, before)
        if alone is not None and not _is_known(alone[1]):
            return Diagnostic(
                "stray-word",
                f"{shown} can't follow `{alone[1]}`",
                span,
                help=f"put a comma between two stitches, or braces if `{alone[1]}` is a number: "
                f"`{{{alone[1]}}} {found}`",
            )
        fix = Fix("put a comma between them", (Label(Span(before, at), ", "),), safe=False)
        return Diagnostic(
            "stray-word",
            f"{shown} can't follow without a comma",
            span,
            help="put a comma before it",
            fix=fix,
        )
    if "$END" in accepted and _INDENTED.search(text, 0, at):
        return Diagnostic(
            "stray-word",
            f"the line above does not go on with {shown}",
            span,
            help="begin it in the first column, with a word such as `row`, `piece` or `note`",
        )
    if "NAME" in accepted and found.lower() in grammar.reserved_words():
        return Diagnostic("stray-word", f"{shown} is a word of the language and no name", span, help=advice)
    return Diagnostic("stray-word", f"{shown} can't stand here", span, help=advice)


def _is_known(word: str) -> bool:
    """Tell whether a word is a stitch in either dialect, or of the language."""
    known = word.lower() in grammar.reserved_words() or word.lower() in ("inc", "dec", "join")
    return known or any(vocabulary(dialect).find(word) for dialect in DIALECTS)


def _either(words: list[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}" if len(words) > 1 else words[0]


def _phrases(last: str, accepted: set[str]) -> list[str]:
    """Return what may follow the terminal `last`, the likeliest first and five at most."""
    # Before a row's colon `in` and a stitch is one of its settings, and the least likely of them.
    before_colon = {"_COLON", "SIDE"} <= accepted
    # Of what a piece may be, a number of motifs is the least likely.
    seldom = {"_IN"} if before_colon else {"NUM", "BRACE"} if "MANNER" in accepted else set()
    phrases = [
        _NAMES.get(last, phrase) if terminal == "NAME" else phrase
        for terminal, phrase in _PHRASES.items()
        if terminal in accepted and terminal not in seldom
    ]
    return phrases[:_MOST]


def near_first_word(word: str, reader: Reader, cutoff: float = 0.7) -> str | None:
    """Return the word that a line may have been meant to begin with, if `word` is near to one."""
    words = first_words(reader)
    swapped = (each for each in words if sorted(each) == sorted(word.lower()))
    return next(iter((*swapped, *get_close_matches(word.lower(), words, n=1, cutoff=cutoff))), None)


@cache
def first_words(reader: Reader) -> tuple[str, ...]:
    """Return the words that begin a statement."""
    _, accepted = reader.following("")
    patterns = (reader.pattern(terminal).split("(?![")[0] for terminal in sorted(accepted))
    return tuple(word for pattern in patterns for word in re.findall("[a-z]{2,}", pattern))
