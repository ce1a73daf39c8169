"""The rules as a KDE syntax definition, which Kate and other editors of KDE take."""

from __future__ import annotations

from xml.sax.saxutils import quoteattr

from .kinds import Kind
from .rules import NEXT_STATEMENT, ROOT, Context, Rule, common_rules, contexts
from .textmate import escaped

STYLES = {
    Kind.COMMENT: "dsComment",
    Kind.OPENING: "dsKeyword",
    Kind.KEYWORD: "dsControlFlow",
    Kind.STITCH: "dsFunction",
    Kind.NAME: "dsVariable",
    Kind.NUMBER: "dsDecVal",
    Kind.UNIT: "dsDataType",
    Kind.QUOTED: "dsString",
    Kind.TEXT: "dsVerbatimString",
    Kind.SQUARES: "dsSpecialChar",
    Kind.OPERATOR: "dsOperator",
    Kind.PUNCTUATION: "dsNormal",
}
"""Default styles, as the syntax definitions' schema `language.xsd` names them."""


COMMON = Context("common", common_rules(), common=False)


def kate() -> str:
    """Return the definition as XML in ASCII."""
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        "<!DOCTYPE language>",
        '<language name="Turnchain" section="Markup" version="1" kateversion="5.53" extensions="*.tch">',
        " <highlighting>",
        "  <contexts>",
        *(line for context in (*contexts(), COMMON) for line in _context(context)),
        "  </contexts>",
        "  <itemDatas>",
        '   <itemData name="blank" defStyleNum="dsNormal"/>',
        *(f'   <itemData name="{kind.value}" defStyleNum="{style}"/>' for kind, style in STYLES.items()),
        "  </itemDatas>",
        " </highlighting>",
        ' <general><comments><comment name="singleLine" start="# "/></comments></general>',
        "</language>",
    ]
    return "\n".join((*lines, ""))


def _context(context: Context) -> list[str]:
    pairs = {rule: f"{context.name}-then-{at}" for at, rule in enumerate(context.rules) if rule.then}
    rules = [_rule(rule, pairs.get(rule, "")) for rule in context.rules]
    if context.common:
        rules.append('<IncludeRules context="common"/>')
    if context.name not in (ROOT, COMMON.name):
        # A rule that finds no character at all is passed over.
        over = quoteattr(NEXT_STATEMENT + r"\S")
        rules.insert(0, f'<RegExpr context="#pop" lookAhead="true" column="0" String={over}/>')
    lines = _lines(context.name, rules)
    for rule, name in pairs.items():
        second = _found(rule.then, rule.then_kind.value, "#pop")
        lines += _lines(name, ['<DetectSpaces attribute="blank"/>', second])
    return lines


def _lines(name: str, rules: list[str]) -> list[str]:
    return [
        f'   <context name="{name}" attribute="blank" lineEndContext="#stay">',
        *(f"    {rule}" for rule in rules),
        "   </context>",
    ]


def _rule(rule: Rule, pair: str) -> str:
    if pair:
        return _found(f"(?:{rule.pattern})(?=\\s+(?:{rule.then}))", rule.kind.value, pair)
    return _found(rule.pattern, rule.kind.value, rule.enters or "#stay")


def _found(pattern: str, style: str, to: str) -> str:
    return f'<RegExpr attribute="{style}" context="{to}" String={quoteattr(escaped(pattern))}/>'
