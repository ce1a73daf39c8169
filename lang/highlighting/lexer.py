"""The rules as a lexer for Pygments, by which documentation and site generators colour code."""

from __future__ import annotations

import re
from typing import Any, ClassVar

from pygments.lexer import RegexLexer, bygroups, include
from pygments.token import (
    Comment,
    Keyword,
    Literal,
    Name,
    Number,
    Operator,
    Punctuation,
    String,
    Whitespace,
)

from .kinds import Kind
from .rules import NEXT_STATEMENT, ROOT, Rule, common_rules, contexts

TOKENS = {
    Kind.COMMENT: Comment.Single,
    Kind.OPENING: Keyword.Declaration,
    Kind.KEYWORD: Keyword,
    Kind.STITCH: Name.Function,
    Kind.NAME: Name.Variable,
    Kind.NUMBER: Number,
    Kind.UNIT: Keyword.Type,
    Kind.QUOTED: String.Double,
    Kind.TEXT: String.Other,
    Kind.SQUARES: Literal,
    Kind.OPERATOR: Operator,
    Kind.PUNCTUATION: Punctuation,
}


def _taken(rule: Rule) -> tuple[Any, ...]:
    token = TOKENS[rule.kind]
    if rule.then:
        found = bygroups(token, Whitespace, TOKENS[rule.then_kind])
        return f"({rule.pattern})(\\s+)({rule.then})", found
    return (rule.pattern, token, rule.enters) if rule.enters else (rule.pattern, token)


def _states() -> dict[str, list[Any]]:
    states: dict[str, list[Any]] = {"common": [_taken(rule) for rule in common_rules()]}
    for context in contexts():
        begins = context.name == ROOT
        states["root" if begins else context.name] = [
            *([] if begins else [(NEXT_STATEMENT, Whitespace, "#pop")]),
            *(_taken(rule) for rule in context.rules),
            *([include("common")] if context.common else []),
            (r"[^\S\n]+|\n", Whitespace),
        ]
    return states


class TurnchainLexer(RegexLexer):  # type: ignore[misc, unused-ignore]
    """Colours patterns written in Turnchain."""

    name = "Turnchain"
    aliases: ClassVar = ["turnchain", "tch"]
    filenames: ClassVar = ["*.tch"]
    mimetypes: ClassVar = ["text/x-turnchain"]
    url = ""
    version_added = ""
    flags = re.MULTILINE
    tokens: ClassVar = _states()
