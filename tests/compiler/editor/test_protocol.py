"""The server as an editor has it: a real client starts it and speaks the protocol to it."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_lsp
from lsprotocol import types as lsp
from pytest_lsp import ClientServerConfig, LanguageClient, client_capabilities

pytestmark = pytest.mark.asyncio

COMMAND = [sys.executable, "-c", "from turnchain.compiler.cli import main; main()", "editor", "--stdio"]
HEAD = "turnchain 1, US\npattern Band\n\npiece Band, turned rows\nstart 14 ch\n"
RIGHT = f"{HEAD}row 1: sc to end = 13\nrow 2: inc, sc to end = 14\n"
WRONG = RIGHT.replace("= 14\n", "= 15\n")
WHOLE = lsp.Range(lsp.Position(0, 0), lsp.Position(99, 0))
PATIENCE = 20.0
"""Seconds that a test waits for the server before it says that it hangs."""


@pytest_lsp.fixture(config=ClientServerConfig(server_command=COMMAND))
async def editor(lsp_client: LanguageClient) -> AsyncIterator[None]:
    await lsp_client.initialize_session(
        lsp.InitializeParams(
            capabilities=client_capabilities("visual-studio-code"), initialization_options={"debounce": 0}
        )
    )
    yield
    await lsp_client.shutdown_session()


async def opened(editor: LanguageClient, text: str, uri: str = "untitled:Untitled-1") -> str:
    """Open a text and wait for what is told of it."""
    told = editor.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    item = lsp.TextDocumentItem(uri, "turnchain", 1, text)
    editor.text_document_did_open(lsp.DidOpenTextDocumentParams(item))
    await asyncio.wait_for(told, PATIENCE)
    return uri


async def typed(
    editor: LanguageClient, uri: str, text: str, line: int, first: int, last: int, version: int = 2
) -> None:
    """Put a text over some columns of a line, and wait for what is told of it."""
    told = editor.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    place = lsp.Range(lsp.Position(line, first), lsp.Position(line, last))
    editor.text_document_did_change(
        lsp.DidChangeTextDocumentParams(
            lsp.VersionedTextDocumentIdentifier(version, uri),
            [lsp.TextDocumentContentChangePartial(range=place, text=text)],
        )
    )
    await asyncio.wait_for(told, PATIENCE)


async def counts(editor: LanguageClient, uri: str) -> list[str]:
    params = lsp.InlayHintParams(lsp.TextDocumentIdentifier(uri), WHOLE)
    hints = await asyncio.wait_for(editor.text_document_inlay_hint_async(params), PATIENCE)
    return [str(each.label) for each in hints or ()]


async def test_a_wrong_total_is_told_and_its_fix_mends_it(editor: LanguageClient) -> None:
    uri = await opened(editor, WRONG)
    [told] = editor.diagnostics[uri]
    assert (told.code, told.range.start.line) == ("stated-total", 6)
    assert await counts(editor, uri) == ["13 → 13", "⚠ 13 → 14"]
    params = lsp.CodeActionParams(lsp.TextDocumentIdentifier(uri), told.range, lsp.CodeActionContext([told]))
    actions = await asyncio.wait_for(editor.text_document_code_action_async(params), PATIENCE)
    assert actions
    fix = actions[0]
    assert isinstance(fix, lsp.CodeAction)
    assert fix.edit is not None
    assert fix.title == "write `14`"
    await typed(editor, uri, "14", 6, 24, 26)
    assert not editor.diagnostics[uri]
    assert await counts(editor, uri) == ["13 → 13", "13 → 14"]


async def test_a_mistake_is_told_once_it_is_typed_and_the_counts_go_with_it(editor: LanguageClient) -> None:
    uri = await opened(editor, RIGHT)
    assert not editor.diagnostics[uri]
    await typed(editor, uri, "2 inc", 6, 7, 10)
    assert [each.code for each in editor.diagnostics[uri]] == ["stated-total"]
    assert await counts(editor, uri) == ["13 → 13", "⚠ 13 → 15"]


async def test_the_pointer_on_a_row_is_told_what_will_be_published(editor: LanguageClient) -> None:
    uri = await opened(editor, RIGHT)
    params = lsp.HoverParams(lsp.TextDocumentIdentifier(uri), lsp.Position(6, 2))
    told = await asyncio.wait_for(editor.text_document_hover_async(params), PATIENCE)
    assert told is not None
    assert isinstance(told.contents, lsp.MarkupContent)
    assert "work 2 single crochet in the next stitch" in told.contents.value
    assert "13 → 14" in told.contents.value


async def test_a_path_with_blanks_and_letters_of_any_script(editor: LanguageClient, tmp_path: Path) -> None:
    folder = tmp_path / "meine Tücher 編み物"
    folder.mkdir()
    (folder / "house.tch").write_text('turnchain 1, US\npattern House\nstitch duo: 2 sc in st "two in one"\n')
    text = RIGHT.replace("\n\npiece", '\nuse "house.tch"\n\npiece').replace("inc", "duo")
    uri = await opened(editor, text, (folder / "Schal für O’Brien.tch").as_uri())
    assert [each.code for each in editor.diagnostics[uri]] == []
    assert await counts(editor, uri) == ["13 → 13", "13 → 14"]


async def test_columns_behind_an_emoji_are_counted_as_the_editor_counts_them(editor: LanguageClient) -> None:
    uri = await opened(editor, RIGHT.replace("row 2: inc", 'row 2: "😋" over 1 makes 1 sc, bad'))
    [told] = editor.diagnostics[uri]
    # UTF-16, the protocol's own count: the emoji is two units.
    assert (told.range.start.character, told.range.end.character) == (31, 34)


async def test_a_pattern_is_tidied_whole(editor: LanguageClient) -> None:
    uri = await opened(editor, RIGHT.replace("sc to end", "sc   to end"))
    options = lsp.FormattingOptions(tab_size=2, insert_spaces=True)
    params = lsp.DocumentFormattingParams(lsp.TextDocumentIdentifier(uri), options)
    edits = await asyncio.wait_for(editor.text_document_formatting_async(params), PATIENCE)
    assert edits is not None
    assert [each.new_text for each in edits] == [RIGHT]
