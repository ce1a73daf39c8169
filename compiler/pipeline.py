"""The stages by name: text, tree, per-size pattern, counted rows. Command line and editor call this alone."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from ..lang.collector import collector_held_off
from ..lang.diagnostics import Diagnostic, Severity
from ..lang.parser import parse
from ..lang.source import Source, Span
from ..lang.syntax import Statement, Tree, Use
from .causes import told_of_lines, told_once
from .cautions import answered
from .count import count
from .counted import CountedPattern
from .kept import Kept
from .merge import merged
from .needs import Need, needs
from .resolve import resolve
from .rowplans import Shared
from .samples import samples
from .scope import Scope, gather
from .suspicions import suspicions
from .underway import Memo
from .unread import unread
from .yardage import amounts_stated, too_little

Included = Callable[[str], Source]
"""Reads the file that a `use` names, relative to the pattern's folder.

Raises OSError with words for the maker.
"""


@dataclass(frozen=True, slots=True)
class Analysis:
    """All that is known of a pattern."""

    source: Source
    tree: Tree
    scope: Scope
    patterns: tuple[CountedPattern, ...]
    """One a size."""
    diagnostics: tuple[Diagnostic, ...]
    """In the order of their places."""
    included: tuple[tuple[Source, tuple[Diagnostic, ...]], ...] = ()
    """The files brought in by `use`, and what is wrong in them."""

    yarn: tuple[Need, ...] = ()
    """How much of each yarn is needed; none where nothing was weighed, or the pattern has errors."""

    @property
    def has_errors(self) -> bool:
        """Whether nothing may be published."""
        everything = [*self.diagnostics, *(each for _, found in self.included for each in found)]
        return _any_error(everything)


def analyse(
    source: Source, read: Included | None = None, kept: Kept | None = None, *, accelerate: bool = True
) -> Analysis:
    """Take a pattern through every stage. Never raises on any text.

    `kept` is handed from analysis to analysis of a text that changes little by little: what comes out is the
    same, sooner.
    """
    with collector_held_off():
        return _analysed(source, read, kept, accelerate)


def check_text(text: str, name: str = "pattern.tch") -> tuple[Diagnostic, ...]:
    """Return what is wrong with a pattern that brings in no other file."""
    return analyse(Source(name, text)).diagnostics


def _analysed(source: Source, read: Included | None, kept: Kept | None, accelerate: bool) -> Analysis:
    tree, diagnostics = parse(source) if kept is None else kept.parsed(source)
    files = _Files(read)
    scope, found = gather(tree, files.load, None if kept is None else kept.marked)
    shared = Shared()
    memo = Memo()
    if kept is not None:
        kept.begin(tree, scope)

    def counted_in(size: int) -> CountedPattern:
        planned, counted = kept.sizes[size] if kept is not None else (None, None)
        plan = resolve(tree, scope, size, shared, planned)
        return count(plan, memo, counted, accelerate=accelerate)

    patterns = tuple(counted_in(size) for size in range(max(1, len(scope.sizes))))
    counted = merged([pattern.diagnostics for pattern in patterns], scope.sizes, tree)
    hanging = unread(tree, files.trees, file=bool(files.faults))
    found = (*found, *counted, *suspicions(tree, scope, patterns), *amounts_stated(scope))
    unread_lines = (*diagnostics, *files.faults)
    found = hanging.without_consequences(found, source.text)
    weighed, faults = samples(scope, patterns, complete=not _any_error((*unread_lines, *found)))
    later = (*faults, *answered(scope, patterns))
    later = hanging.without_consequences(later, source.text)
    unread_lines = (*told_of_lines(diagnostics, tree, source), *files.faults)
    diagnostics = (*unread_lines, *told_once((*found, *later), tree, source))
    needed = () if _any_error(diagnostics) else needs(scope, patterns, weighed)
    diagnostics = (*diagnostics, *too_little(scope, needed))
    return Analysis(
        source,
        tree,
        scope,
        patterns,
        tuple(sorted(diagnostics, key=lambda each: (each.span, each.severity.value, each.name))),
        tuple(files.loaded),
        needed,
    )


def _any_error(diagnostics: Iterable[Diagnostic]) -> bool:
    return any(each.severity is Severity.ERROR for each in diagnostics)


class _Files:
    """The files that `use` brings in, each read once."""

    def __init__(self, read: Included | None) -> None:
        self._read = read
        self.loaded: list[tuple[Source, tuple[Diagnostic, ...]]] = []
        self.trees: list[Tree] = []
        self.faults: list[Diagnostic] = []

    def load(self, statement: Statement) -> tuple[Source, Tree] | None:
        node = statement.node
        assert isinstance(node, Use)
        span = node.span.shifted(statement.start)
        if self._read is None:
            self.faults.append(_unread(node.path, "no folder is known to look in", span))
            return None
        try:
            source = self._read(node.path)
        except OSError as error:
            self.faults.append(_unread(node.path, str(error), span))
            return None
        tree, diagnostics = parse(source)
        self.loaded.append((source, diagnostics))
        self.trees.append(tree)
        return source, tree


def _unread(path: str, why: str, span: Span) -> Diagnostic:
    return Diagnostic(
        "unread-file",
        f"`{path}` can't be used: {why}",
        span,
        help="name a file in the folder of this pattern, or in one below it",
    )
