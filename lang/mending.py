"""A small change to a refused statement that lets it be read on: a word less, a comma more, another spelling.

A change counts as what was meant only if the statement can then be read beyond the word at hand and the next.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from difflib import get_close_matches
from itertools import pairwise

from ..grammar.tables import END
from .builder import Refused
from .diagnostics import Diagnostic, Fix, Label
from .reader import Reader, Stopped
from .source import Span

_TOKEN = re.compile(r"[^\W\d_]\w*|[0-9]+(?:[./][0-9]+)*|\S")
_BRACKETS = '[](){},"“”„'
_WORDS = re.compile("[a-z]{2,}")
_LOOK_AHEAD = re.compile(r"\(\?[=!]")
_SWAPPED = re.compile(r"([^\W\d_]\w*|[0-9]+)(\s+)([^\W\d_]\w*)(?!\w)")


def doubled(text: str, end: int, reader: Reader) -> Diagnostic | None:
    """Report a word that stands twice: the last one up to `end`, or the one right before it."""
    for one, other in pairwise(list(_TOKEN.finditer(text, 0, end))[-3:]):
        begin, finish = one.end(), other.end()
        if one[0].lower() != other[0].lower() or one[0] in _BRACKETS:
            continue
        # Two names may be two items.
        if other[0].isalpha() and _reads_on(text, begin, finish, f", {other[0]}", reader):
            continue
        if _reads_on(text, begin, finish, "", reader):
            advice = "leave one of them out"
            fix = Fix(advice, (Label(Span(begin, finish), ""),), safe=False)
            return Diagnostic(
                "stray-word", f"`{other[0]}` stands twice", Span(*other.span()), help=advice, fix=fix
            )
    return None


def misspelt(text: str, at: int, end: int, accepted: Iterable[str], reader: Reader) -> Diagnostic | None:
    """Report a word that is spelled nearly like one that could stand there."""
    word = text[at:end].lower()
    if not word.isalpha() or len(word) < 2:
        return None
    could = {each for terminal in accepted if terminal != END for each in _words(reader.pattern(terminal))}
    could.discard(word)
    near = [each for each in sorted(could) if sorted(each) == sorted(word)]
    near += get_close_matches(word, sorted(could), n=3, cutoff=0.7)
    meant = next((each for each in near if _reads_on(text, at, end, each, reader)), None)
    if meant is None:
        return None
    fix = Fix(f"write `{meant}`", (Label(Span(at, end), meant),), safe=False)
    return Diagnostic(
        "stray-word", f"`{text[at:end]}` can't stand here", Span(at, end), help=f"write `{meant}`", fix=fix
    )


def lacks_comma(text: str, at: int, end: int, reader: Reader) -> bool:
    """Tell whether a comma before a word is all that it lacks."""
    return _reads_on(text, at, end, f", {text[at:end]}", reader)


def swapped_first(text: str, words: Iterable[str], reader: Reader) -> Diagnostic | None:
    """Report that the word which begins a line stands second in it."""
    found = _SWAPPED.match(text)
    if found is None or found[3].lower() not in words:
        return None
    right = f"{found[3]}{found[2]}{found[1]}"
    if not _reads_on(text, 0, found.end(), right, reader):
        return None
    advice = f"write `{found[3]} {found[1]}`"
    span = Span(0, found.end())
    return Diagnostic(
        "stray-word",
        f"`{found[3]}` begins a line, and stands behind `{found[1]}`",
        span,
        help=advice,
        fix=Fix(advice, (Label(span, right),), safe=False),
    )


def _words(pattern: str) -> list[str]:
    """Return the words that a terminal may be."""
    return _WORDS.findall(_LOOK_AHEAD.split(pattern)[0].replace("\\s", " "))


def _reads_on(text: str, begin: int, end: int, put: str, reader: Reader) -> bool:
    """Tell whether a statement is read beyond what stands at a place, and the next, if that is changed."""
    changed = text[:begin] + put
    following = _TOKEN.search(text, end)
    try:
        reader.read(changed + text[end:])
    except Stopped as stopped:
        return following is not None and stopped.at > len(changed) + following.start() - end
    except Refused:
        return True
    return True
