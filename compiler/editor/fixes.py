"""Quick fixes: what the diagnostics of a stretch of the text offer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ...lang.diagnostics import Diagnostic, Fix
from ...lang.source import Span
from ..pipeline import Analysis


@dataclass(frozen=True, slots=True)
class Offer:
    """A fix, and what it mends."""

    fix: Fix
    mends: Diagnostic | None = None


def offers(analysis: Analysis, within: Span) -> Iterator[Offer]:
    """Yield the fixes for what is wrong in a stretch of the text."""
    for each in analysis.diagnostics:
        if each.fix is not None and each.span.start <= within.end and within.start <= each.span.end:
            yield Offer(each.fix, each)
