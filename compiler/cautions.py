"""Cautions: which of them the pattern's own facts call for, where, and what the author answers."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..lang.cautions import CautionRule, caution_rules
from ..lang.diagnostics import Diagnostic
from ..lang.measures import yarn_class
from ..lang.syntax import Statement, Text, Yarn
from .counted import CountedPattern, CountedPiece
from .faults import warning
from .gauges import Gauges
from .plan import Stretch
from .scope import Scope
from .steps import BracketStep, BranchStep, ChainStep, GroupStep, OwnStep, Steps

ANSWER = re.compile(r"\s*(?P<kind>[^:]*?)\s*:\s*(?P<reason>.*\S)?\s*", re.DOTALL)
CORD_ROWS = 1
"""Rows along a chain that still make a cord of it."""


@dataclass(frozen=True, slots=True)
class Raised:
    """A caution that is called for."""

    rule: CautionRule
    piece: int | None = None
    """The piece that it stands before; None for one that stands before all work."""
    reason: str = ""
    """What the author answers; empty if nothing."""


def raised(scope: Scope, patterns: Sequence[CountedPattern]) -> tuple[Raised, ...]:
    """Return the cautions that the pattern calls for, in the order in which they are printed."""
    answers = dict(_answers(scope))
    wearers = " ".join((_words(scope, "for"), *scope.sizes))
    found = []
    for rule in caution_rules().values():
        wearer = rule.wearer is None or rule.wearer.search(wearers)
        said = rule.words is None or rule.words.search(_words(scope, rule.line))
        if wearer and said:
            places: Sequence[int | None] = (None,)
            if rule.longest_cm is not None:
                places = _with_cords(scope, patterns, rule.longest_cm)
            found += [Raised(rule, place, answers.get(rule.kind, "")) for place in places]
    return tuple(found)


def answered(scope: Scope, patterns: Sequence[CountedPattern]) -> Iterator[Diagnostic]:
    """Yield what is wrong with the answers to cautions."""
    if "answer" not in scope.texts:
        return
    called = {each.rule.kind for each in raised(scope, patterns)}
    seen: set[str] = set()
    for statement in scope.texts.get("answer", ()):
        node = statement.node
        assert isinstance(node, Text)
        span = node.span.shifted(statement.start)
        kind, reason = _parted(statement)
        if kind not in caution_rules() or not reason:
            known = ", ".join(f"`{name}`" for name in caution_rules())
            yield Diagnostic(
                "unknown-caution",
                f"no caution is called {kind or 'so'}"
                if kind not in caution_rules()
                else "no reason is given",
                span,
                help=f"write the caution, a colon and your reason; the cautions are {known}",
            )
        elif kind in seen:
            yield Diagnostic("used-twice", f"{kind} is answered twice", span, help="keep one of the two")
        elif kind not in called:
            yield warning(
                "unused-answer",
                f"nothing in this pattern calls for the caution on {kind}",
                span,
                help="take the line out, or write it as a `caution`, which is always printed",
            )
        seen.add(kind)


def _answers(scope: Scope) -> Iterator[tuple[str, str]]:
    for statement in scope.texts.get("answer", ()):
        yield _parted(statement)


def _parted(statement: Statement) -> tuple[str, str]:
    assert isinstance(statement.node, Text)
    found = ANSWER.fullmatch(" ".join(statement.node.lines))
    return (found["kind"].casefold(), found["reason"] or "") if found else ("", "")


def _words(scope: Scope, key: str) -> str:
    lines = scope.texts.get(key, ()) if key else ()
    return " ".join(line for each in lines if isinstance(each.node, Text) for line in each.node.lines)


# ---- cords -------------------------------------------------------------------------------------------------


def _with_cords(scope: Scope, patterns: Sequence[CountedPattern], longest: float) -> list[int]:
    """Return the pieces that are cords, or have free chains, longer than so many centimetres in some size."""
    return [
        index
        for index in range(len(patterns[0].pieces))
        if any(_longest(each.pieces[index]) * _chain_cm(scope, each.gauges) > longest for each in patterns)
    ]


def _chain_cm(scope: Scope, gauges: Gauges) -> float:
    """Return how long a chain is: as a stitch is wide, by the gauge or else by the weight of the yarn."""
    gauge = gauges.measuring("sc") or gauges.others
    if gauge is not None:
        return float(gauge.width(1))
    for statement in scope.yarns.values():
        if isinstance(statement.node, Yarn) and (weight := yarn_class(" ".join(statement.node.lines))):
            return 10 / weight.gauge[1]
    return 0.5


def _longest(counted: CountedPiece) -> int:
    """Return the chains of the longest cord in a piece."""
    piece = counted.plan
    stretches = [part for part in piece.parts if isinstance(part, Stretch)]
    longest = max((_free_chains(row.body) for each in stretches for row in each.rows), default=0)
    rows = sum(each.times or 0 for each in stretches)
    is_cord = piece.start is not None and piece.start.kind in ("chain", "for") and rows <= CORD_ROWS
    return max(longest, counted.start_count) if is_cord and not piece.in_rounds else longest


def _free_chains(steps: Steps) -> int:
    longest = 0
    for step in steps:
        match step:
            case ChainStep(count=count):
                longest = max(longest, count)
            case BranchStep(chains=chains):
                longest = max(longest, chains)
            case BracketStep(body=body) | GroupStep(body=body):
                longest = max(longest, _free_chains(body))
            case OwnStep(stitch=own) if isinstance(own.body, tuple):
                longest = max(longest, _free_chains(own.body))
            case _:
                pass
    return longest
