"""Text to tree: every statement parsed by itself, every fault a diagnostic, nothing raised."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from itertools import chain

from .. import grammar
from .builder import Builder, Refused
from .collector import collector_held_off
from .diagnostics import Diagnostic, Fix, Label
from .reader import Reader, Stopped, Token
from .remembered import Remembered
from .source import LINE_BREAK, Source, Span
from .statements import Stretch, cut, is_words, squares_under, stretches
from .syntax import Chart, Node, Row, Statement, StitchDefinition, Tree, Version

VERSIONS = (1,)
"""The versions of the language that this compiler reads."""

LONGEST_FILE = 16 * 1024 * 1024
"""Bytes of UTF-8."""

DEEPEST = 64
"""Brackets within brackets, and sums within one value."""

_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff]")
_BRACKETS = re.compile(r"[\"“”„][^\"“”„\r\n]*[\"“”„]|[\[({]|[\])}]")
_OPERATORS = re.compile(r"[-+*–−]|\bdiv\b", re.IGNORECASE)
_VALUES = re.compile(r"\{[^{}]*\}|\Alet\b.*", re.IGNORECASE | re.DOTALL)
_COLON = re.compile(r"[^:\"“”„\r\n]*:")
_COLON_OR_EQUALS = re.compile(r"[^:=\"“”„\r\n]*[:=]")
_HEADER = re.compile(r"\s*turnchain(?!\w)", re.IGNORECASE)
_FIXED = re.compile(r"\(\?i:((?:[a-z|-]|\\s\+)+)", re.IGNORECASE)
"""What a terminal begins with that stands for words alone."""


def parse(source: Source) -> tuple[Tree, tuple[Diagnostic, ...]]:
    """Return the tree of a file and what is wrong with its spelling, in the order of the file.

    A faulty statement is reported once and has no node; the others are whole. Never raises.
    """
    text = source.text
    if too_long(text):
        return Tree(()), (_too_long(),)
    statements: list[Statement] = []
    faults: list[Diagnostic] = []
    headed = False
    header: Statement | None = None
    with collector_held_off():
        for statement, fault in chain.from_iterable(map(parsed_stretch, stretches(text))):
            if not headed and (statement.node is not None or statement.faulty):
                headed = True
                read, wrong = _headed(statement, fault, text)
                header = read if isinstance(read.node, Version) else None
            elif header is not None and isinstance(statement.node, Version):
                read, wrong = second_header(statement, header)
            else:
                read, wrong = statement, fault
            if wrong is not None:
                faults.append(wrong.shifted(read.start) if read.start else wrong)
            statements.append(read)
    if not headed:
        faults.append(_no_header(Span(0, 0), _after_mark(text)))
    return Tree(tuple(statements)), tuple(faults)


def too_long(text: str) -> bool:
    """Tell whether a text is longer than a file may be."""
    return len(text) > LONGEST_FILE or len(text.encode("utf-8", "replace")) > LONGEST_FILE


def parsed_statement(text: str) -> Node | Diagnostic:
    """Return the node of one statement without comments, or the one fault it is reported for."""
    return _remembered(text)


def terminals(code: str) -> tuple[Token, ...]:
    """Return the terminals of a statement without comments, up to where the grammar refuses it."""
    return () if _unfit(code) is not None else _reader().terminals(squares_under(code)[0])


def could_follow(code: str) -> tuple[str, dict[str, tuple[str, ...]]]:
    """Return the last terminal of the beginning of a statement and those that could follow, with their words.

    A terminal that is no fixed word, as a name, has none.
    """
    if _unfit(code) is not None:
        return "", {}
    last, following = _reader().following(code)
    return last, {terminal: _words_of(terminal) for terminal in sorted(following)}


@cache
def _words_of(terminal: str) -> tuple[str, ...]:
    """Return the words that a terminal stands for."""
    found = _FIXED.match(_reader().pattern(terminal)) if terminal[0].isalpha() or terminal[0] == "_" else None
    return tuple(word.strip() for word in found[1].replace(r"\s+", " ").split("|")) if found else ()


@Remembered
def line_word(text: str) -> str:
    """Return the word that a statement begins with or was meant to, or nothing if none is likely."""
    from .meant import meant_for

    return meant_for(text, _reader())


@cache
def _reader() -> Reader:
    return Reader(grammar.parser_tables(), Builder())


def parsed_stretch(stretch: Stretch) -> tuple[tuple[Statement, Diagnostic | None], ...]:
    """Return a statement, or two if one of its indented lines was meant for another, and their faults.

    The places of a fault are offsets into its statement.
    """
    statement, fault = _statement(stretch)
    begin = _lost_line(statement, fault) if fault is not None and statement.faulty else 0
    if not begin or fault is None:
        return ((statement, fault),)
    head, rest = stretch.text[:begin].rstrip(), stretch.text[begin:]
    above = _statement(replace(stretch, text=head))
    code = cut(rest)
    lost = Statement(rest, None, code.comments, stretch.start + begin, False, True)
    return above, (lost, fault.shifted(-begin))


def _lost_line(statement: Statement, fault: Diagnostic) -> int:
    """Return where the indented line with the fault begins, if it was meant for a statement; else 0.

    What stands above it must be whole.
    """
    text = statement.text
    begin = max((found.end() for found in LINE_BREAK.finditer(text, 0, fault.span.start)), default=0)
    above = parsed_statement(cut(text[:begin].rstrip()).code) if begin else fault
    if isinstance(above, Diagnostic):
        return 0
    # What rows and stitches are made of goes on over several lines, but no colon stands among it.
    sign = _COLON if isinstance(above, Row) else _COLON_OR_EQUALS
    if isinstance(above, Row | StitchDefinition) and not (
        sign.match(text, begin) or line_word(text[begin:]) == "piece"
    ):
        return 0
    return begin


def _statement(stretch: Stretch) -> tuple[Statement, Diagnostic | None]:
    start, text, blank_before = stretch.start, stretch.text, stretch.blank_before
    parts = cut(text)
    if parts.comments and not parts.code.strip():
        return Statement(text, None, parts.comments, start, blank_before), None
    head, squares = squares_under(parts.code)
    found = parsed_statement(head)
    if isinstance(found, Diagnostic):
        return Statement(text, None, parts.comments, start, blank_before, True), found
    if squares and isinstance(found, Chart):
        found = replace(found, rows=squares)
    return Statement(text, found, parts.comments, start, blank_before), None


def _parsed(text: str) -> Node | Diagnostic:
    fault = _unfit(text)
    if fault is not None:
        return fault
    try:
        node: Node = _reader().read(text)
    except Refused as refused:
        return refused.diagnostic
    except Stopped as stopped:
        from .diagnosis import diagnosed

        return diagnosed(text, stopped.at, _reader())
    return node


_remembered = Remembered(_parsed)


def _unfit(text: str) -> Diagnostic | None:
    """Return what keeps a statement from being parsed at all."""
    control = _CONTROL.search(text)
    if control:
        at = Span(control.start(), control.end())
        return Diagnostic(
            "wrong-character",
            f"a character that can't be seen (U+{ord(control[0]):04X}) stands here",
            at,
            help="delete it",
            fix=Fix("delete the character", (Label(at, ""),), safe=False),
        )
    if len(text) <= DEEPEST or is_words(text):
        return None
    if text.count("[") + text.count("(") + text.count("{") > DEEPEST:
        deep = _too_deep(text)
        if deep:
            return deep
    return _too_long_a_sum(text) if "{" in text or text[:3].lower() == "let" else None


def _too_long_a_sum(text: str) -> Diagnostic | None:
    for value in _VALUES.finditer(text):
        if len(_OPERATORS.findall(value[0])) > DEEPEST:
            return Diagnostic(
                "too-large",
                f"a value has more than {DEEPEST} sums in it",
                Span(*value.span()),
                help="give parts of it a name with `let`",
            )
    return None


def _too_deep(text: str) -> Diagnostic | None:
    depth = 0
    for found in _BRACKETS.finditer(text):
        if found[0] in "[({":
            depth += 1
            if depth > DEEPEST:
                return Diagnostic(
                    "too-large",
                    f"more than {DEEPEST} brackets stand within each other",
                    Span(*found.span()),
                    help="make a stitch of the inner part with `stitch`",
                )
        elif found[0] in "])}":
            depth = max(0, depth - 1)
    return None


def _too_long() -> Diagnostic:
    return Diagnostic(
        "too-large",
        "the file is longer than 16 MiB",
        Span(0, 0),
        help="a pattern this long is best split into several files",
    )


# ---- the first line ----------------------------------------------------------------------------------------


def _header_line() -> str:
    return f"turnchain {VERSIONS[-1]}, US"


def _after_mark(text: str) -> int:
    return 1 if text.startswith("\ufeff") else 0


def _no_header(span: Span, at: int) -> Diagnostic:
    line = _header_line()
    return Diagnostic(
        "missing-header",
        "the first line must say the version of the language and whose terms are used",
        span,
        help=f"begin the file with `{line}`, or with `UK` if the stitches have their British names",
        fix=Fix(f"write `{line}`", (Label(Span(at, at), f"{line}\n"),), safe=False),
    )


def _headed(statement: Statement, fault: Diagnostic | None, text: str) -> tuple[Statement, Diagnostic | None]:
    """Return the first statement, and its fault if it is not the line that a file must begin with."""
    first = statement.text
    faulty = replace(statement, node=None, faulty=True)
    if first[0].isspace():
        indent = len(first) - len(first.lstrip())
        at = Span(0, indent)
        return faulty, Diagnostic(
            "missing-header",
            "the first line is indented, so it goes on from a line that is not there",
            at,
            help=f"begin the file in column 1 with `{_header_line()}`",
            fix=Fix("delete the blanks", (Label(at, ""),), safe=bool(_HEADER.match(first))),
        )
    if isinstance(statement.node, Version):
        number = statement.node.number
        if number in VERSIONS:
            return statement, fault
        read = ", ".join(map(str, VERSIONS))
        found = re.search("[0-9]+", first)
        assert found
        return faulty, Diagnostic(
            "missing-header",
            f"version {number} of the language is not known here",
            Span(*found.span()),
            help=f"this compiler reads version {read}; a newer one may read {number}",
            facts={"found": number},
        )
    line = _header_line()
    if _HEADER.match(first):
        return faulty, _wrong_header(first)
    if re.match(r"terms(?!\w)", first, re.IGNORECASE):
        return faulty, _wrong_header(first)
    end = len(first.splitlines()[0])
    missing = _no_header(Span(0, end), 0)
    if fault is not None:
        # The line has a fault of its own, which would hide behind this one.
        return faulty, replace(fault, notes=(*fault.notes, f"the file must begin with `{line}`"))
    return statement, missing


def second_header(statement: Statement, header: Statement) -> tuple[Statement, Diagnostic]:
    """Return what becomes of a statement that says once more what the first line says."""
    first = Span(0, len(header.text)).shifted(header.start - statement.start)
    whole = Span(0, len(statement.text))
    return replace(statement, node=None, faulty=True), Diagnostic(
        "used-twice",
        "the first line is given twice",
        whole,
        related=(Label(first, "first given here"),),
        help="keep one of the two",
        fix=Fix("delete the second", (Label(whole, ""),), safe=False),
    )


def dialect_said(first: str) -> str | None:
    """Return `US` or `UK` if one of them stands in a first line, its letters in whatever order."""
    found = re.search(r"(?<![^\W\d])(?:U(?P<last>[KS])|(?P<first>[KS])U)(?!\w)", first, re.IGNORECASE)
    return f"U{found['last'] or found['first']}".upper() if found else None


def _wrong_header(first: str) -> Diagnostic:
    said = dialect_said(first)
    dialect = said or "US"
    line = f"turnchain {VERSIONS[-1]}, {dialect}"
    whole = Span(0, len(first.rstrip()))
    return Diagnostic(
        "missing-header",
        "the first line must say the version of the language and whose terms are used",
        whole,
        help=f"write `{line}`" + ("" if said else ", or `UK` if the stitches have their British names"),
        fix=Fix(f"write `{line}`", (Label(whole, line),), safe=said is not None),
    )
