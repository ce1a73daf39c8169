"""The preview of a pattern that is being written: the published page in the browser, as the text is now."""

from __future__ import annotations

from pathlib import Path

from ..commands.loading import Loaded, has_warnings, report
from ..commands.publish import Choices, WrongUse, published
from ..files import Included
from ..watch import Preview
from .session import Document


class Previews:
    """The previews that are open, by the address of their file."""

    def __init__(self) -> None:
        self._open: dict[str, Preview] = {}

    def open(self, uri: str, document: Document) -> str:
        """Open the preview of a file, or find it open, and return its address. Raises OSError."""
        if uri not in self._open:
            self._open[uri] = Preview(document.source.name)
            self._open[uri].__enter__()
        self.show(uri, document)
        return self._open[uri].address

    def show(self, uri: str, document: Document) -> None:
        """Show a file as it is now, if it has a preview; while it has errors its last good page stays."""
        preview = self._open.get(uri)
        if preview is None:
            return
        analysis = document.analysis
        shown = report([analysis]) if has_warnings(analysis) else ""
        page = None
        if not analysis.has_errors:
            folder = document.folder or Path()
            loaded = Loaded(document.source.name, analysis, (), folder, Included(folder))
            try:
                page = published(loaded, Choices())["html"].decode()
            except WrongUse as wrong:
                shown = f"{wrong}\n\n{shown}".rstrip()
        preview.show(page, shown)

    def close(self, uri: str) -> None:
        """Close the preview of a file, if it has one."""
        preview = self._open.pop(uri, None)
        if preview is not None:
            preview.__exit__()

    def close_all(self) -> None:
        """Close every preview."""
        for uri in list(self._open):
            self.close(uri)
