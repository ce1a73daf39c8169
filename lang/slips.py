"""Hints for typical slips."""

from __future__ import annotations

from lark.exceptions import UnexpectedInput

from .diagnostics import Diagnostic
from .source import Span


def diagnosed(text: str, unexpected: UnexpectedInput) -> Diagnostic:
    """Return the one diagnostic for a statement that the grammar refuses."""
    at = unexpected.pos_in_stream
    if at is None or at < 0 or at > len(text):
        at = len(text.rstrip())
    return Diagnostic("stray-word", "this is not expected here", Span(at, min(len(text), at + 1)))
