"""The lines of a printed statement: where they break, and behind which of them each comment stands.

A line breaks behind a comma. Outside brackets it breaks where its author broke it; beyond that, only what is
longer than `WIDTH` is broken, outside brackets if that will do, and else within as few of them as will.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..source import LINE_BREAK
from ..syntax import Comment, Statement

WIDTH = 100
"""Columns of a line, comments aside."""

INDENT = "  "

# How much deeper a bracket and a total put their commas: items are parted, then a total, then brackets.
_BRACKET = 2
_TOTAL = 1

Line = tuple[str, int]
"""A line of a statement, and the offset at which what it says begins in the author's text."""

_STRING_OR_SIGN = re.compile(r"[\"“”„][^\"“”„\r\n]*[\"“”„]|\s*,\s*|[()\[\]{}=]")

# A line that holds more than a comment.
_WRITTEN_LINE = re.compile(r"(?<![^\r\n])[^\S\r\n]*(?!#(?:\s|\Z))(?=\S)")


@dataclass(frozen=True, slots=True)
class _Chunk:
    """What stands up to a comma, or behind the last one."""

    text: str
    depth: int
    """How deep in brackets it ends."""
    start: int
    """Where it begins in the author's text."""
    begins_line: bool
    """Whether the author began a line with it, outside brackets."""


def laid_out(line: str, code: str) -> list[Line]:
    """Return the lines of a statement printed as `line`, which stands as `code` in the author's text.

    `code` has its comments blanked out; where it is empty, nothing is known of the author's lines.
    """
    lines: list[list[_Chunk]] = [[]]
    _lay(list(_chunks(line, code)), 0, lines)
    return [
        (INDENT * (number > 0) + " ".join(chunk.text for chunk in chunks), chunks[0].start)
        for number, chunks in enumerate(lines)
    ]


def with_tail(lines: list[Line], tail: str, start: int) -> list[Line]:
    """Return lines with what can't be broken behind the last of them, or on a line of its own."""
    last, at = lines[-1]
    if len(last) + 1 + len(tail) <= WIDTH:
        return [*lines[:-1], (f"{last} {tail}", at)]
    return [*lines, (INDENT + tail, start)]


def of_words(head: str, lines: Sequence[str], text: str) -> list[Line]:
    """Return lines of words as their author broke them, the first of them beside `head`."""
    first, *rest = lines
    starts = [0] * len(rest) + [found.start() for found in _WRITTEN_LINE.finditer(text)]
    under = [
        (INDENT + line, start) for line, start in zip(rest, starts[len(starts) - len(rest) :], strict=True)
    ]
    return [(f"{head} {first}".rstrip(), 0), *under]


def with_comments(lines: Sequence[Line], statement: Statement) -> list[str]:
    """Set each comment behind the line it stood in, or on a line of its own if it stood so."""
    if not statement.comments:
        return [line for line, _ in lines]
    behind: list[list[Comment]] = [[] for _ in lines]
    at = 0
    for comment in statement.comments:
        while at + 1 < len(lines) and comment.span.start > lines[at + 1][1]:
            at += 1
        behind[at].append(comment)
    made: list[str] = []
    for (line, _), comments in zip(lines, behind, strict=True):
        if comments and not _alone(comments[0], statement.text):
            line = f"{line}  {comments.pop(0).text}"
        made += [line, *(INDENT + comment.text for comment in comments)]
    return made


def _alone(comment: Comment, text: str) -> bool:
    before = text[: comment.span.start]
    return bool(before) and not LINE_BREAK.split(before)[-1].strip()


# ---- breaking ----------------------------------------------------------------------------------------------


def _chunks(line: str, code: str) -> Iterator[_Chunk]:
    """Yield what stands between the commas of a printed line."""
    printed = [*_commas(line), (len(line), 0, False)]
    # The author wrote the same commas in the same order.
    written = [(0, 0, False), *_commas(code)]
    if len(written) != len(printed):
        written = [written[0]] * len(printed)
    begin = 0
    for (end, depth, _), (start, outside, broken) in zip(printed, written, strict=True):
        yield _Chunk(line[begin:end].strip(), depth, start, broken and not outside)
        begin = end


def _commas(code: str) -> Iterator[tuple[int, int, bool]]:
    """Yield for each comma where what follows begins, how deep it stands, and whether the line is broken."""
    depth = 0
    for found in _STRING_OR_SIGN.finditer(code):
        sign = found[0].strip()
        if sign == ",":
            yield found.end(), depth, LINE_BREAK.search(found[0]) is not None
        elif sign == "=":
            depth += _TOTAL
        else:
            depth += _BRACKET if sign in "([{" else -_BRACKET


def _lay(chunks: Sequence[_Chunk], depth: int, lines: list[list[_Chunk]]) -> None:
    """Lay chunks out on the last of the lines and on new ones, parted at `depth` if that will do."""
    for part in _parts(chunks, depth):
        if lines[-1] and (part[0].begins_line or not _fits(part, lines)):
            lines.append([])
        if len(part) == 1 or _fits(part, lines):
            lines[-1].extend(part)
        else:
            _lay(part, min(chunk.depth for chunk in part[:-1]), lines)


def _parts(chunks: Sequence[_Chunk], depth: int) -> Iterator[list[_Chunk]]:
    part: list[_Chunk] = []
    for chunk in chunks:
        part.append(chunk)
        if chunk.depth <= depth or chunk is chunks[-1]:
            yield part
            part = []


def _fits(part: Sequence[_Chunk], lines: Sequence[Sequence[_Chunk]]) -> bool:
    indent = INDENT if len(lines) > 1 else ""
    return len(indent + " ".join(chunk.text for chunk in (*lines[-1], *part))) <= WIDTH
