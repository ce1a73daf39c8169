"""Rules by which editors tell kinds of words apart, worked out from the grammar and the stitches.

Editors read line by line and by regular expressions. The grammar's tables say which words can stand in which
statement, before its colon and behind it; each of these is a context with rules of its own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache

from ...grammar import parser_tables, reserved_words
from ...grammar.tables import Tables
from ..stitches import DIALECTS, numbered_words, vocabulary
from .kinds import OF_TERMINAL, Kind, kind_of

ROOT = "pattern"
"""The context that a file begins in."""

NEXT_STATEMENT = r"^(?=\S)(?!#(?:\s|$))"
"""Where the next statement begins, and every context but the first is over: comments end none."""

COMMENT = r"(?<!\S)#(?!\S)[^\r\n]*"
EDGE = "(?![\\w\u0300-\u036f])"
_SQUARES = r"^[ \t]+(?:(?!(?<!\S)#(?!\S))[^\r\n])+"
_REACHING = {"ROW_LIST": "ON_ROWS", "BODY_SIZES": "_AS"}
"""Terminals that take more than a word, and what they stand behind."""


@dataclass(frozen=True, slots=True)
class Rule:
    """What is tried at a place of the text."""

    pattern: str
    """A regular expression, of one character at the least."""
    kind: Kind
    enters: str = ""
    """The context that holds from there on."""
    then: str = ""
    """What must stand behind it, blanks between them: a regular expression."""
    then_kind: Kind = Kind.NAME


@dataclass(frozen=True, slots=True)
class Context:
    """What can stand in one part of a statement: the first rule that finds something holds."""

    name: str
    rules: tuple[Rule, ...]
    common: bool = True
    """Whether the rules that hold in all code come after its own."""


@cache
def common_rules() -> tuple[Rule, ...]:
    """Return the rules that hold in all code."""
    patterns = parser_tables()["terminals"]
    signs = {
        kind: _longest_first(_trimmed(patterns[name]) for name, its in OF_TERMINAL.items() if its is kind)
        for kind in (Kind.OPERATOR, Kind.PUNCTUATION)
    }
    return (
        Rule(COMMENT, Kind.COMMENT),
        Rule(patterns["STRING"], Kind.QUOTED),
        Rule(patterns["ORDINAL"], Kind.NUMBER),
        Rule(_trimmed(patterns["_X"]), Kind.KEYWORD),
        Rule(patterns["UNIT"], Kind.UNIT),
        *_names(),
        Rule(patterns["NUM"], Kind.NUMBER),
        *(Rule(pattern, kind) for kind, pattern in signs.items()),
    )


@cache
def contexts() -> tuple[Context, ...]:
    """Return all contexts, the one that a file begins in first."""
    tables = parser_tables()
    leads = tables["states"][tables["start"]][1]
    openings = sorted(symbol for symbol in leads if symbol in tables["terminals"])
    inner: list[Context] = []
    rules = [Rule(COMMENT, Kind.COMMENT)]
    for opening in openings:
        name = opening.lower().replace("_", "-")
        rules.append(Rule(f"^{_trimmed(tables['terminals'][opening])}", Kind.OPENING, name))
        inner.extend(_contexts(tables, name, leads[opening]))
    # A word that begins no statement is the author's slip: what goes on from it is coloured all the same.
    rules.append(Rule(r"^(?:\w+|[^\s\w])", Kind.NAME, "unknown"))
    inner.append(Context("unknown", (*_rules(tables, set()),)))
    return (Context(ROOT, tuple(rules), common=False), *inner)


def _contexts(tables: Tables, name: str, state: int) -> Iterator[Context]:
    """Yield the contexts of one statement, which is in `state` behind its first word."""
    head, body = _parts(tables, state)
    inside = name
    if _next(tables, {state}) == {"NAME"}:
        # Whatever stands here is a name, even if it is a word of the language further on.
        inside = f"{name}-named"
        names = (Rule(rule.pattern, rule.kind, inside) for rule in _names())
        yield Context(name, tuple(names))
    if _terminals(tables, head) == {"TEXT"}:
        yield _text(inside)
    else:
        yield Context(inside, tuple(_rules(tables, head, f"{name}-body" if body else "")))
    if _terminals(tables, body) == {"TEXT"}:
        yield _text(f"{name}-body")
    elif body:
        squares = [Rule(_SQUARES, Kind.SQUARES)] if "KEY" in _terminals(tables, body) else []
        yield Context(f"{name}-body", (*squares, *_rules(tables, body)))


def _text(name: str) -> Context:
    return Context(name, (Rule(COMMENT, Kind.COMMENT), Rule(r"\S+", Kind.TEXT)), common=False)


def _parts(tables: Tables, state: int) -> tuple[set[int], set[int]]:
    """Return the states in which a statement can be before its colon and behind it."""
    head = _reached(tables, {state})
    behind = {leads["_COLON"] for _, leads in map(tables["states"].__getitem__, head) if "_COLON" in leads}
    body = _reached(tables, behind) if behind else set()
    return head, body


def _reached(tables: Tables, states: set[int]) -> set[int]:
    """Return the states that can be come to from `states`, a colon being the end."""
    start = tables["states"][tables["start"]][1]
    todo = list(states)
    while todo:
        for symbol, lead in tables["states"][todo.pop()][1].items():
            # Once a rule is complete that began the statement, the way goes on from the start.
            to = lead if lead >= 0 else start.get(tables["rules"][~lead]["name"], tables["end"])
            if symbol != "_COLON" and to not in states and to != tables["end"]:
                states.add(to)
                todo.append(to)
    return states


def _terminals(tables: Tables, states: Iterable[int]) -> set[str]:
    found = {symbol for state in states for symbol, lead in tables["states"][state][1].items() if lead >= 0}
    return found & tables["terminals"].keys()


def _rules(tables: Tables, states: set[int], behind_colon: str = "") -> Iterator[Rule]:
    """Yield the rules of the part of a statement that can be in `states`."""
    patterns = tables["terminals"]
    terminals = _terminals(tables, states)
    if "KEY" in terminals:
        yield Rule(patterns["KEY"], Kind.SQUARES)
    for reaching, before in _REACHING.items():
        if reaching in terminals:
            word = _trimmed(patterns[before])
            yield Rule(word, kind_of(before), then=patterns[reaching], then_kind=kind_of(reaching))
    if behind_colon:
        yield Rule(":", Kind.PUNCTUATION, behind_colon)
    # What is shut out as a name can't be meant as one, so it is coloured where it can't stand, too.
    units = {word for word in reserved_words() if re.fullmatch(patterns["UNIT"], word)}
    reserved = f"(?i:{'|'.join(sorted(reserved_words() - units - {'x'}))}){EDGE}"
    words = {name: _trimmed(patterns[name]) for name in terminals if kind_of(name) is Kind.KEYWORD}
    free = _longest_first(word for word in words.values() if not _is_reserved(word))
    before = _longest_first(words[each] for each in words if _before_names(tables, states, each))
    if free and before:
        yield Rule(before, Kind.KEYWORD, then=free)
    yield Rule(_longest_first({reserved, *words.values()}), Kind.KEYWORD)


def _next(tables: Tables, states: set[int]) -> set[str]:
    """Return the terminals that can come next in `states`."""
    return {symbol for state in states for symbol in tables["states"][state][1]} & tables["terminals"].keys()


def _before_names(tables: Tables, states: set[int], terminal: str) -> bool:
    """Tell whether a name can follow a terminal, and no word that might be one elsewhere."""
    leads = (tables["states"][state][1].get(terminal, -1) for state in states)
    following = _next(tables, {lead for lead in leads if lead >= 0})
    words = {each for each in following if kind_of(each) is Kind.KEYWORD}
    return "NAME" in following and all(_is_reserved(tables["terminals"][each]) for each in words)


def _is_reserved(pattern: str) -> bool:
    return any(re.match(_trimmed(pattern), f"{word} ") for word in reserved_words())


def _names() -> tuple[Rule, Rule]:
    return Rule(_stitches(), Kind.STITCH), Rule(parser_tables()["terminals"]["NAME"], Kind.NAME)


def _longest_first(patterns: Iterable[str]) -> str:
    """Return a pattern of alternatives, of which the longer ones are tried first."""
    return "|".join(sorted(patterns, key=lambda pattern: (-len(pattern), pattern)))


def _trimmed(pattern: str) -> str:
    """Return a terminal's pattern without the blanks that it swallows."""
    return pattern.removesuffix(r"\s*") if not pattern.endswith(r"\s*)") else f"{pattern[:-4]})"


def _stitches() -> str:
    """Return the pattern of all stitches in both dialects."""
    words = {
        re.escape(name)
        for dialect in DIALECTS
        for name in vocabulary(dialect).names
        if not re.search("[1-9]", name)
    }
    for shape, least in numbered_words().items():
        number = f"(?:[{least}-9]|[1-9][0-9])"
        words.add(re.escape(shape).replace(re.escape("#"), number))
    # The number's second digit must not be left to the letters: longest first.
    return f"(?i:{_longest_first(words)}){EDGE}"
