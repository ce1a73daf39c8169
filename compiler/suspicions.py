"""Warnings: what is legal, but likely not meant."""

from __future__ import annotations

from collections.abc import Sequence

from ..lang.diagnostics import Diagnostic
from ..lang.syntax import Tree
from .counted import CountedPattern
from .scope import Scope


def suspicions(tree: Tree, scope: Scope, patterns: Sequence[CountedPattern]) -> tuple[Diagnostic, ...]:
    """Return every warning about a pattern."""
    return ()
