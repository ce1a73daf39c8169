"""An editor without a screen: it types at random into a pattern, and the server has to keep in step.

`python tests/compiler/editor/typist.py EDITS [SEED]` types so many changes and says what came of them.
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from time import perf_counter

from lsprotocol import types as lsp
from turnchain.compiler.editor.answers import server
from turnchain.compiler.editor.complete import completions
from turnchain.compiler.editor.counts import running_counts
from turnchain.compiler.editor.fixes import offers
from turnchain.compiler.editor.hover import hover
from turnchain.compiler.editor.names import can_rename, definition, name_at, places
from turnchain.compiler.editor.outline import folds, outline
from turnchain.compiler.editor.positions import Units
from turnchain.compiler.editor.protocol import Server
from turnchain.compiler.editor.session import Document
from turnchain.compiler.editor.tidying import tidied
from turnchain.compiler.editor.tokens import coloured
from turnchain.compiler.pipeline import analyse
from turnchain.lang.source import Source, Span

ROOT = Path(__file__).parents[3]
EXAMPLES = sorted((ROOT / "examples").glob("*.tch"))
COMPARED = 1000
"""Every so many changes what is known is held against an analysis from nothing."""

TYPED = (*"0123456789,:=[](){}/#+- \n\"'", "sc", "inc", "row ", " as peak", "dc2tog", "repeat ", "\r\n", "\r")
STRANGE = ("é", "😋", "編", "\u2028", "\x0c", "\ufeff", "e\u0301")


class Typist:
    """Types into one pattern after the other, and keeps beside the server what the text must be."""

    def __init__(self, seed: int, encoding: lsp.PositionEncodingKind) -> None:
        self.chance = random.Random(seed)
        self.server: Server = server()
        self.server.units = Units(encoding.value)
        self.server.text_document_publish_diagnostics = self._told  # type: ignore[method-assign]
        self.told: list[lsp.PublishDiagnosticsParams] = []
        self.uri = "untitled:none"
        self.text = ""
        self.version = 0

    def _told(self, params: lsp.PublishDiagnosticsParams) -> None:
        self.told = [params]

    @property
    def document(self) -> Document:
        return self.server.documents[self.uri]

    def open(self, path: Path) -> None:
        if self.uri in self.server.documents:
            self.server.close(self.uri)
        self.text, self.uri, self.version = path.read_text("utf-8"), path.as_uri(), 1
        self.server.open(lsp.TextDocumentItem(self.uri, "turnchain", 1, self.text))

    def change(self) -> None:
        """Type, delete, paste or move something somewhere."""
        start = self.chance.randrange(len(self.text) + 1)
        end, text = start, ""
        match self.chance.randrange(8):
            case 0 | 1 | 2:
                text = self.chance.choice(TYPED)
            case 3:
                text = self.chance.choice(STRANGE)
            case 4 | 5:
                end = min(len(self.text), start + self.chance.randint(1, 4))
            case 6:
                end = min(len(self.text), start + self.chance.randint(1, 120))
            case _:
                other = self.chance.randrange(len(self.text) + 1)
                text = self.text[other : other + self.chance.randint(1, 120)]
        start, end = self._between_characters(start), self._between_characters(end)
        self._send(Span(start, max(start, end)), text)

    def _between_characters(self, at: int) -> int:
        """Return a place where an editor can be: it has none within a line break."""
        return at - 1 if self.text[at - 1 : at + 1] == "\r\n" else at

    def back(self, path: Path) -> None:
        """Put the whole pattern back, as undoing everything does."""
        self._send(Span(0, len(self.text)), path.read_text("utf-8"))

    def _send(self, span: Span, text: str) -> None:
        self.version += 1
        place = self.server.range(
            Document(Source("as the editor has it", self.text), None, lambda _: None), span
        )
        self.text = self.text[: span.start] + text + self.text[span.end :]
        self.server.pause = 0
        self.server.change(
            lsp.DidChangeTextDocumentParams(
                lsp.VersionedTextDocumentIdentifier(self.version, self.uri),
                [lsp.TextDocumentContentChangePartial(range=place, text=text)],
            )
        )
        assert self.document.source.text == self.text, "the server has another text"
        assert self.told[0].version == self.version

    def look(self) -> None:
        """Ask for everything at some place."""
        analysis = self.document.analysis
        whole = Span(0, len(self.text))
        at = self.chance.randrange(len(self.text) + 1)
        list(running_counts(analysis, whole))
        list(offers(analysis, Span(at, at)))
        list(coloured(analysis, whole))
        list(folds(analysis.tree))
        outline(analysis.tree)
        tidied(analysis)
        hover(analysis, at)
        completions(analysis, at)
        definition(analysis, at)
        name = name_at(analysis, at)
        if name is not None:
            assert any(each.span == name.span for each in places(analysis, name))
            can_rename(analysis, name)

    def compare(self) -> None:
        """Hold what the server knows against an analysis from nothing."""
        known = self.document.analysis
        fresh = analyse(Source(known.source.name, self.text), self.document._reader())
        assert known.tree == fresh.tree
        assert known.diagnostics == fresh.diagnostics
        assert known.patterns == fresh.patterns


def type_at_random(edits: int, seed: int, *, compared: int = COMPARED, looked: int = 50) -> int:
    """Type so many changes, and return how often what is known was compared. Raises what goes wrong."""
    kinds = list(lsp.PositionEncodingKind)
    typist = Typist(seed, kinds[seed % len(kinds)])
    path, compares = EXAMPLES[0], 0
    for number in range(edits):
        if number % 200 == 0:
            path = typist.chance.choice(EXAMPLES)
            typist.open(path)
        elif number % 10 == 9:
            typist.back(path)
        else:
            typist.change()
        if number % looked == looked - 1:
            typist.look()
        if number % compared == compared - 1:
            typist.compare()
            compares += 1
    return compares


if __name__ == "__main__":
    begun = perf_counter()
    many, first = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1
    compares = type_at_random(many, first)
    sys.stdout.write(f"{many} changes, {compares} compared, {perf_counter() - begun:.0f} s\n")
