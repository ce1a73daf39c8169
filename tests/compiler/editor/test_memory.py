"""However long someone types, the memory taken hangs on what the pattern is, not on what was typed over."""

from __future__ import annotations

import gc
import random
from collections.abc import Iterator
from pathlib import Path

import pytest
from turnchain.compiler.editor.answers import server
from turnchain.compiler.editor.session import Document
from turnchain.compiler.editor.words import words
from turnchain.lang import remembered
from turnchain.lang.source import Source, Span

from .typist import EXAMPLES, Typist, lsp

PATTERN = Path(__file__).parents[3] / "examples" / "harbour-hat.tch"


@pytest.fixture
def no_collector() -> Iterator[None]:
    """Hold Python's collector off, all that was left behind before cleared away."""
    gc.collect()
    gc.disable()
    yield
    gc.enable()


@pytest.mark.usefixtures("no_collector")
@pytest.mark.parametrize("seed", range(2))
def test_nothing_is_left_behind_that_only_the_collector_could_find(seed: int) -> None:
    typist = Typist(seed, lsp.PositionEncodingKind.Utf16)
    for number in range(400):
        if number % 100 == 0:
            typist.open(typist.chance.choice(EXAMPLES))
            gc.collect()
        typist.change()
        if number % 20 == 0:
            typist.look()
    assert gc.collect() == 0


def test_three_times_as_much_typing_takes_no_more_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(remembered, "LATELY", 5_000)
    document = Document(Source("hat.tch", PATTERN.read_text("utf-8")), None, lambda _: None)
    chance = random.Random(1)
    _type(document, chance, 800)
    before = _live()
    _type(document, chance, 1_600)
    assert _live() < 1.1 * before


class _Nobody:
    """An editor that listens to nothing."""

    def write(self, _: bytes) -> None:
        pass

    def close(self) -> None:
        pass


def test_nothing_is_kept_of_a_change_once_it_is_taken_in() -> None:
    made = server()
    made.protocol.set_writer(_Nobody())  # type: ignore[arg-type]
    say = made.protocol.handle_message
    settings = lsp.InitializeParams(
        capabilities=lsp.ClientCapabilities(), initialization_options={"debounce": 0}
    )
    say(lsp.InitializeRequest(1, settings))
    uri = "untitled:hat"
    text = PATTERN.read_text("utf-8")
    say(
        lsp.DidOpenTextDocumentNotification(
            lsp.DidOpenTextDocumentParams(lsp.TextDocumentItem(uri, "turnchain", 1, text))
        )
    )
    for version in range(2, 52):
        of = lsp.VersionedTextDocumentIdentifier(version, uri)
        change = lsp.TextDocumentContentChangeWholeDocument(text)
        say(lsp.DidChangeTextDocumentNotification(lsp.DidChangeTextDocumentParams(of, [change])))
    assert made.documents[uri].version == 51
    assert len(made.protocol._request_futures) < 5


def _type(document: Document, chance: random.Random, times: int) -> None:
    """Put a digit or a word somewhere and take it out again, so many times."""
    for _ in range(times):
        at, typed = chance.randrange(len(document.source.text)), f"{chance.randrange(10**6)}, sc "
        for change in ((Span(at, at), typed), (Span(at, at + len(typed)), "")):
            document.replace(*change)
            for statement in document.analysis.tree.statements:
                list(words(statement))


def _live() -> int:
    gc.collect()
    return len(gc.get_objects())
