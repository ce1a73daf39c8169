"""The Language Server Protocol: the open files kept in step with the editor, and what is wrong told to it.

This module and `answers` alone know the protocol. Everything runs on one thread: an analysis takes less time
than a change of threads is worth.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Iterable
from importlib.metadata import version
from pathlib import Path
from typing import Any

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer
from pygls.uris import from_fs_path, to_fs_path

from ...lang.diagnostics import Diagnostic, Severity
from ...lang.source import Source, Span
from .positions import Position, Range, Units, offset_of, range_of, span_of
from .preview import Previews
from .session import Document

PAUSE = 0.2
"""Seconds without a change before what is wrong is told, if the editor sets none."""

LANGUAGE = "turnchain"
_log = logging.getLogger(__name__)

_SEVERITIES = {
    Severity.ERROR: lsp.DiagnosticSeverity.Error,
    Severity.WARNING: lsp.DiagnosticSeverity.Warning,
}


class Server(LanguageServer):
    """The open files, by the addresses that the editor gave them, and what is still to be told of them."""

    def __init__(self) -> None:
        super().__init__(LANGUAGE, version("turnchain"))
        self.documents: dict[str, Document] = {}
        self.waiting: dict[str, asyncio.Task[None]] = {}
        self.pause = PAUSE
        self.units = Units.UTF16
        self.tells_related = False
        self.takes_versions = False
        self.opens_pages = False
        self.previews = Previews()

    def report_server_error(self, error: Exception, source: Any) -> None:
        """Write down a fault of the server itself; a window at each keystroke would keep from typing."""
        _log.error("the server has a fault", exc_info=error)

    # ---- the files ----

    def settle(self, params: lsp.InitializeParams) -> None:
        """Take in what the editor can do and wants."""
        options = params.initialization_options
        if isinstance(options, dict) and isinstance(options.get("debounce"), int | float):
            self.pause = max(0, options["debounce"]) / 1000
        able = params.capabilities
        encoding = self.workspace.position_encoding
        self.units = Units(encoding.value if isinstance(encoding, lsp.PositionEncodingKind) else encoding)
        documents = able.text_document
        told = documents.publish_diagnostics if documents else None
        self.tells_related = bool(told and told.related_information)
        edits = able.workspace.workspace_edit if able.workspace else None
        self.takes_versions = bool(edits and edits.document_changes)
        pages = able.window.show_document if able.window else None
        self.opens_pages = bool(pages and pages.support)

    def open(self, item: lsp.TextDocumentItem) -> None:
        """Take in a file that was opened."""
        path = _path(item.uri)
        name = path.name if path is not None else item.uri
        folder = path.parent if path is not None else None
        self.documents[item.uri] = Document(Source(name, item.text), folder, self._opened, item.version)
        self.tell_soon(item.uri, 0)
        self._look_again(item.uri)

    def change(self, params: lsp.DidChangeTextDocumentParams) -> None:
        """Take in what was typed."""
        uri = params.text_document.uri
        document = self.documents.get(uri)
        if document is None:
            return
        for change in params.content_changes:
            if isinstance(change, lsp.TextDocumentContentChangePartial):
                document.replace(self.span(document, change.range), change.text)
            else:
                document.become(change.text)
        document.version = params.text_document.version
        self.tell_soon(uri, self.pause)
        self._look_again(uri)

    def close(self, uri: str) -> None:
        """Forget a file, and what was told of it."""
        self.documents.pop(uri, None)
        if (task := self.waiting.pop(uri, None)) is not None:
            task.cancel()
        self.previews.close(uri)
        self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, []))
        self._look_again(uri)

    def _opened(self, path: Path) -> Source | None:
        """Return a file as it stands in the editor, if it is open there."""
        for uri, document in self.documents.items():
            there = _path(uri)
            if there is not None and there.resolve() == path.resolve():
                return document.source
        return None

    def _look_again(self, changed: str) -> None:
        """Check again the other files that may bring in the one that was changed."""
        for uri, document in self.documents.items():
            if uri != changed and document.brings_in:
                document.look_again()
                self.tell_soon(uri, self.pause)

    # ---- what is wrong ----

    def tell_soon(self, uri: str, pause: float) -> None:
        """Tell what is wrong with a file, once nothing was typed for so many seconds."""
        if (before := self.waiting.pop(uri, None)) is not None:
            before.cancel()
        if pause <= 0:
            self.tell(uri)
        else:
            self.waiting[uri] = asyncio.get_running_loop().create_task(self._wait_and_tell(uri, pause))

    async def _wait_and_tell(self, uri: str, pause: float) -> None:
        await asyncio.sleep(pause)
        self.waiting.pop(uri, None)
        self.tell(uri)

    def tell(self, uri: str) -> None:
        """Tell what is wrong with a file now."""
        document = self.documents.get(uri)
        self._let_go()
        if document is None:
            return
        found = [self.diagnostic(each, document, uri) for each in document.analysis.diagnostics]
        found += self._of_included(document)
        self.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, found, document.version))
        self.previews.show(uri, document)

    def _let_go(self) -> None:
        """Drop what pygls (seen in 2.1) keeps for good of each change that it has taken in."""
        kept = getattr(self.protocol, "_request_futures", {})
        for number in [each for each, future in kept.items() if future.done()]:
            del kept[number]

    def diagnostic(self, found: Diagnostic, document: Document, uri: str) -> lsp.Diagnostic:
        """Return one thing that is wrong as the protocol has it."""
        words = found.message
        if found.sizes:
            words = f"{words} (in size {', '.join(found.sizes)})"
        related = [
            lsp.DiagnosticRelatedInformation(lsp.Location(uri, self.range(document, each.span)), each.text)
            for each in found.related
        ]
        return lsp.Diagnostic(
            range=self.range(document, found.span),
            message="\n".join(filter(None, (words, *found.notes, found.help))),
            severity=_SEVERITIES[found.severity],
            code=found.name,
            source=LANGUAGE,
            related_information=related or None if self.tells_related else None,
            tags=[lsp.DiagnosticTag.Unnecessary] if found.name.startswith("unused-") else None,
        )

    def _of_included(self, document: Document) -> Iterable[lsp.Diagnostic]:
        """Yield on the `use` of each file what is wrong in that file."""
        for statement, source, wrong in document.included_faults():
            first, *others = wrong
            more = f", and {len(others)} more" if others else ""
            where = f"line {source.line_number(first.span.start)} of {source.name}"
            span = Span(statement.start, statement.start + len(statement.text))
            yield lsp.Diagnostic(
                range=self.range(document, span),
                message=f"{where}: {first.message}{more}",
                severity=_SEVERITIES[first.severity],
                code=first.name,
                source=LANGUAGE,
            )

    def show_preview(self, uri: str) -> str | None:
        """Open the preview of a file in the browser, and return its address; None if it is not to be had.

        Where the editor can't open it, the address is told.
        """
        document = self.documents.get(uri)
        if document is None:
            return None
        try:
            address = self.previews.open(uri, document)
        except OSError as error:
            _log.error("the preview can't be opened: %s", error)
            return None

        def tell(shown: lsp.ShowDocumentResult | None = None) -> None:
            if shown is None or not shown.success:
                told = f"the preview is at {address}"
                self.window_show_message(lsp.ShowMessageParams(lsp.MessageType.Info, told))

        if self.opens_pages:
            self.window_show_document(lsp.ShowDocumentParams(address, external=True), tell)
        else:
            tell()
        return address

    # ---- places ----

    def range(self, document: Document, span: Span) -> lsp.Range:
        """Return a span of a file as the editor counts it."""
        start, end = range_of(document.source, span, self.units)
        return lsp.Range(lsp.Position(*start), lsp.Position(*end))

    def span(self, document: Document, place: lsp.Range) -> Span:
        """Return the span of a range."""
        between = Range(_position(place.start), _position(place.end))
        return span_of(document.source, between, self.units)

    def offset(self, document: Document, place: lsp.Position) -> int:
        """Return the offset of a position."""
        return offset_of(document.source, _position(place), self.units)

    def location(self, document: Document, uri: str, span: Span, file: Source | None) -> lsp.Location:
        """Return a place in a file, or in one that it brings in."""
        if file is None or document.folder is None:
            return lsp.Location(uri, self.range(document, span))
        start, end = range_of(file, span, self.units)
        there = from_fs_path(str(document.folder / file.name)) or uri
        return lsp.Location(there, lsp.Range(lsp.Position(*start), lsp.Position(*end)))

    def edit(self, uri: str, document: Document, edits: Iterable[tuple[Span, str]]) -> lsp.WorkspaceEdit:
        """Return changes to one file, in the way that the editor takes them."""
        made = [lsp.TextEdit(self.range(document, span), text) for span, text in edits]
        if not self.takes_versions:
            return lsp.WorkspaceEdit(changes={uri: made})
        of = lsp.OptionalVersionedTextDocumentIdentifier(uri, document.version)
        return lsp.WorkspaceEdit(document_changes=[lsp.TextDocumentEdit(of, list(made))])


def _path(uri: str) -> Path | None:
    path = to_fs_path(uri) if uri.startswith("file:") else None
    return Path(path) if path else None


def _position(place: lsp.Position) -> Position:
    return Position(place.line, place.character)
