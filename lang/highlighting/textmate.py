"""The rules as a TextMate grammar, which most editors and site generators take."""

from __future__ import annotations

import json
import re
from typing import Any

from .kinds import Kind
from .rules import NEXT_STATEMENT, Context, Rule, common_rules, contexts

SCOPES = {
    Kind.COMMENT: "comment.line.number-sign",
    Kind.OPENING: "keyword.other.opening",
    Kind.KEYWORD: "keyword.control",
    Kind.STITCH: "support.function.stitch",
    Kind.NAME: "variable.other",
    Kind.NUMBER: "constant.numeric",
    Kind.UNIT: "keyword.other.unit",
    Kind.QUOTED: "string.quoted.double",
    Kind.TEXT: "string.unquoted",
    Kind.SQUARES: "constant.character.squares",
    Kind.OPERATOR: "keyword.operator",
    Kind.PUNCTUATION: "punctuation",
}
"""Scopes by the naming conventions of the TextMate manual, section 12.4, from memory."""

NOT_ASCII = re.compile(r"[^\n\x20-\x7e]")


def textmate() -> str:
    """Return the grammar as JSON in ASCII."""
    root, *others = contexts()
    grammar = {
        "name": "Turnchain",
        "scopeName": "source.turnchain",
        "fileTypes": ["tch"],
        "patterns": [_pattern(rule) for rule in root.rules],
        "repository": {
            "common": {"patterns": [_pattern(rule) for rule in common_rules()]},
            **{each.name: _inner(each) for each in others},
        },
    }
    return f"{json.dumps(grammar, indent=1)}\n"


def escaped(pattern: str) -> str:
    """Return a regular expression in ASCII, as Oniguruma and PCRE spell characters."""
    spelled = re.sub(
        r"\\(?:u([0-9a-f]{4})|x([0-9a-f]{2}))", lambda found: f"\\x{{{found[1] or found[2]}}}", pattern
    )
    return NOT_ASCII.sub(lambda found: f"\\x{{{ord(found[0]):04x}}}", spelled)


def _inner(context: Context) -> dict[str, Any]:
    patterns = [_pattern(rule) for rule in context.rules]
    return {"patterns": [*patterns, {"include": "#common"}] if context.common else patterns}


def _pattern(rule: Rule) -> dict[str, Any]:
    pattern = escaped(rule.pattern)
    if rule.enters:
        return {
            "begin": pattern,
            "beginCaptures": {"0": _scope(rule.kind)},
            "end": NEXT_STATEMENT,
            "patterns": [{"include": f"#{rule.enters}"}],
        }
    if rule.then:
        captures = {"1": _scope(rule.kind), "2": _scope(rule.then_kind)}
        return {"match": f"({pattern})\\s+({escaped(rule.then)})", "captures": captures}
    return {"match": pattern, "captures": {"0": _scope(rule.kind)}}


def _scope(kind: Kind) -> dict[str, str]:
    return {"name": f"{SCOPES[kind]}.turnchain"}
