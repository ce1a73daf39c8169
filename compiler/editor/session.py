"""The files that an editor has open: their text as it is typed, and the analysis of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from ...lang.diagnostics import Diagnostic
from ...lang.source import Source, Span
from ...lang.syntax import Statement, Use
from .. import files
from ..kept import Kept
from ..pipeline import Analysis, analyse


@dataclass(slots=True)
class Document:
    """One open file."""

    source: Source
    folder: Path | None
    """Where `use` looks for files; None for a file that was never saved."""
    opened: Callable[[Path], Source | None]
    """Returns the text of a file that is open too, as it stands in the editor."""
    version: int = 0
    _analysis: Analysis | None = field(default=None, init=False)
    _kept: Kept = field(default_factory=Kept, init=False)

    @property
    def analysis(self) -> Analysis:
        """All that is known of the text as it is now."""
        if self._analysis is None:
            self._analysis = analyse(self.source, self._reader(), self._kept)
        return self._analysis

    def replace(self, span: Span, text: str) -> None:
        """Take in a change: `text` stands now where `span` was."""
        whole = self.source.text
        self.become(whole[: span.start] + text + whole[span.end :])

    def become(self, text: str) -> None:
        """Take in a whole new text."""
        self.source = Source(self.source.name, text)
        self._analysis = None

    def look_again(self) -> None:
        """Forget what was read of other files, as they may have changed."""
        self._analysis = None

    @property
    def brings_in(self) -> bool:
        """Whether it names other files."""
        return self._analysis is not None and bool(self._analysis.scope.uses)

    def included_faults(self) -> Iterator[tuple[Statement, Source, tuple[Diagnostic, ...]]]:
        """Yield each `use` of a file in which something is wrong, that file, and what it is."""
        analysis = self.analysis
        if self.folder is None:
            return
        wrong = {source.name: (source, found) for source, found in analysis.included if found}
        for statement in analysis.scope.uses:
            if isinstance(statement.node, Use):
                found = wrong.get(files.shown(str(self.folder / statement.node.path)))
                if found is not None:
                    yield statement, *found

    def _reader(self) -> _Reader | None:
        return None if self.folder is None else _Reader(self.folder, self.opened)


class _Reader(files.Included):
    """Reads the files of `use` as they stand in the editor, or else on the disk."""

    def __init__(self, folder: Path, opened: Callable[[Path], Source | None]) -> None:
        super().__init__(folder)
        self._opened = opened

    def text_of(self, path: Path) -> str:
        """Return the text of a file. Raises OSError as `files` says."""
        source = self._opened(path)
        return source.text if source is not None else super().text_of(path)
