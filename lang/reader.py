"""Reads one statement by the tables that Lark worked out from the grammar.

LALR: each terminal is put on a stack, and whatever rule it shows to be complete before that gives way to what
the builder makes of it. Only terminals that can follow are looked for, so most words are free as names
elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any, NamedTuple

from ..grammar.tables import END, Rule, Tables
from .source import Span

Match = Callable[[str, int], re.Match[str] | None]


class Token(NamedTuple):
    """A terminal as it stands in the text."""

    kind: str
    text: str
    start: int
    end: int

    @property
    def span(self) -> Span:
        """Where it stands."""
        return Span(self.start, self.end)


class Stopped(Exception):  # noqa: N818 - it reports the author's fault, not ours
    """The grammar refuses what begins at offset `at`: the length of the text where more was wanted."""

    def __init__(self, at: int) -> None:
        super().__init__(at)
        self.at = at


class _Rule:
    """A rule of the tables, and how it is built."""

    __slots__ = ("all_kept", "build", "first", "join", "keep", "listed", "name", "size")

    def __init__(self, rule: Rule, builder: object) -> None:
        self.name = rule["name"]
        self.size = rule["size"]
        self.keep = rule["keep"]
        self.join = frozenset(rule["join"])
        self.all_kept = self.keep == list(range(self.size)) and not self.join
        self.first = min(self.keep) - self.size
        self.listed = rule["listed"]
        self.build: Callable[[list[Any], Span], Any] | None = (
            getattr(builder, rule["build"]) if rule["build"] else None
        )

    def children(self, symbols: list[Any]) -> list[Any]:
        """Return what is kept of the rule's symbols, and None for each part that is left out."""
        symbols.append(None)
        kept: list[Any] = []
        for at in self.keep:
            if at not in self.join:
                kept.append(symbols[at])
            elif kept:
                kept += symbols[at]
            else:
                # A list grows by one at a time; taken over as it is, it costs no more the longer it is.
                kept = symbols[at]
        return kept


class Reader:
    """Reads statements; `builder` has a method for each rule, called with its children and its span.

    A rule's span begins with the first of its symbols that is kept.
    """

    def __init__(self, tables: Tables, builder: object) -> None:
        self._patterns = tables["terminals"]
        self._blank = tables["blank"]
        self._dropped = frozenset(tables["dropped"])
        self._lexers = tables["lexers"]
        self._lexer_of = [lexer for lexer, _ in tables["states"]]
        self._goes = [goes for _, goes in tables["states"]]
        self._matches: list[Match | None] = [None] * len(self._goes)
        self._rules = [_Rule(rule, builder) for rule in tables["rules"]]
        self._start = tables["start"]
        self._end = tables["end"]

    def read(self, text: str) -> Any:
        """Return what the builder makes of `text`; raise Stopped where the grammar refuses it."""
        goes, matches, rules, dropped = self._goes, self._matches, self._rules, self._dropped
        state, final = self._start, self._end
        states, starts = [state], [0]
        values: list[Any] = [None]
        end = 0
        while True:
            found = (matches[state] or self._match(state))(text, end)
            if found is None:
                raise Stopped(self._past_blanks(text, end))
            kind = found.lastgroup or END
            does = goes[state].get(kind)
            while does is not None and does < 0:
                rule = rules[~does]
                size = rule.size
                children = values[-size:]
                start = starts[rule.first]
                del states[-size:], starts[-size:], values[-size:]
                if not rule.all_kept:
                    children = rule.children(children)
                if rule.build is not None:
                    value = rule.build(children, Span(start, end))
                else:
                    value = children if rule.listed else children[0]
                state = goes[states[-1]][rule.name]
                if state == final:
                    return value
                states.append(state)
                starts.append(start)
                values.append(value)
                does = goes[state].get(kind)
            if does is None:
                raise Stopped(len(text) if kind == END else found.start(kind))
            state = does
            start, end = found.span(kind)
            states.append(state)
            starts.append(start)
            values.append(None if kind in dropped else Token(kind, text[start:end], start, end))

    def following(self, text: str) -> tuple[str, set[str]]:
        """Return the last terminal of `text` and those that could follow; nothing if `text` is refused."""
        states = [self._start]
        last, end = "", 0
        while True:
            found = self._match(states[-1])(text, end)
            if found is None:
                return "", set()
            kind = found.lastgroup or END
            if kind == END:
                could = (symbol for symbol in self._goes[states[-1]] if symbol.isupper())
                return last, {symbol for symbol in could if self._after(states, symbol)}
            states = self._after(states, kind)
            if not states:
                return "", set()
            last, end = kind, found.end(kind)

    def terminals(self, text: str) -> tuple[Token, ...]:
        """Return the terminals of `text` without the blanks behind them, up to where it is refused."""
        states, end = [self._start], 0
        found: list[Token] = []
        while (match := self._match(states[-1])(text, end)) is not None:
            kind = match.lastgroup or END
            states = self._after(states, kind) if kind != END else []
            if not states:
                break
            start, end = match.span(kind)
            said = text[start:end].rstrip()
            found.append(Token(kind, said, start, start + len(said)))
        return tuple(found)

    def pattern(self, terminal: str) -> str:
        """Return the regular expression of a terminal."""
        return self._patterns[terminal]

    def _after(self, states: list[int], kind: str) -> list[int]:
        """Return the stack of states once a terminal was read, empty if it is refused."""
        states = states.copy()
        while (does := self._goes[states[-1]].get(kind)) is not None:
            if does >= 0:
                return [*states, does]
            rule = self._rules[~does]
            del states[-rule.size :]
            states.append(self._goes[states[-1]][rule.name])
            if states[-1] == self._end:
                return states
        return []

    def _past_blanks(self, text: str, at: int) -> int:
        blanks = re.compile(self._blank).match(text, at)
        return blanks.end() if blanks else at

    def _match(self, state: int) -> Match:
        """Return what finds the next terminal in `state`; at the end of the text, none of its groups."""
        known = self._matches[state]
        if known is not None:
            return known
        lexer = self._lexer_of[state]
        terminals = [f"(?P<{name}>{self._patterns[name]})" for name in self._lexers[lexer]]
        terminals.append(r"\Z")
        match = re.compile(f"(?:{self._blank})?+(?:{'|'.join(terminals)})").match
        for other, its in enumerate(self._lexer_of):
            if its == lexer:
                self._matches[other] = match
        return match
