"""How a stage gives up on one statement: a signal that carries the diagnostic, caught at the statement.

Only `resolve` and `count` raise and catch it; no fault leaves them. What they return is values. What is kept
of a fault is its diagnostic alone: once raised, it holds on to all that was at hand where it was.
"""

from __future__ import annotations

from typing import Any

from ..lang.diagnostics import Diagnostic, Severity
from ..lang.source import Span

UNKNOWN = frozenset({"unknown-stitch", "unknown-name", "dialect-mismatch"})
"""Faults of names: one that is missing or misspelt is one mistake, however often it stands."""


class Fault(Exception):  # noqa: N818 - a signal between a statement and its parts
    """The statement at hand can't be worked out; the diagnostic's places are offsets into it."""

    def __init__(self, diagnostic: Diagnostic) -> None:
        super().__init__(diagnostic.message)
        self.diagnostic = diagnostic


class HeldBack(Fault):
    """What the statement at hand hangs on has a fault that is told elsewhere: nothing more is said of it."""

    def __init__(self) -> None:
        super().__init__(Diagnostic("held-back", "told where it is defined", Span(0, 0)))


def fault(name: str, message: str, span: Span, **more: Any) -> Fault:
    """Return the signal for an error; `more` are fields of its diagnostic."""
    return Fault(Diagnostic(name, message, span, **more))


def warning(name: str, message: str, span: Span, **more: Any) -> Diagnostic:
    """Return a warning."""
    return Diagnostic(name, message, span, severity=Severity.WARNING, **more)


def plural(count: int, one: str, many: str | None = None) -> str:
    """Return a number with its noun."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def said_place(name: str) -> str:
    """Return what messages call a place."""
    return {"sp": "chain space", "ch": "single chain"}.get(name, name)


def none_or_only(left: int) -> str:
    """Return `none`, or `only 3`."""
    return f"only {left}" if left else "none"
