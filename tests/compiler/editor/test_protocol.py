"""The server as an editor has it: a real client starts it and speaks the protocol to it."""

from __future__ import annotations

import asyncio
import re
import sys
from collections.abc import AsyncIterator
from pathlib import Path
from urllib.request import urlopen

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
    assert "work 2 single crochet in the first stitch" in told.contents.value
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


async def test_a_mark_is_renamed_wherever_it_stands(editor: LanguageClient) -> None:
    text = RIGHT.replace("row 1: sc", "row 1: sc as peak, sc")
    text = text.replace("inc, sc to end", "sc to peak, inc in peak")
    uri = await opened(editor, text)
    of = lsp.TextDocumentIdentifier(uri)
    at = lsp.Position(5, 14)
    place = await asyncio.wait_for(
        editor.text_document_prepare_rename_async(lsp.PrepareRenameParams(of, at)), PATIENCE
    )
    assert place == lsp.Range(lsp.Position(5, 13), lsp.Position(5, 17))
    params = lsp.RenameParams(of, at, "tip_of_it")
    edit = await asyncio.wait_for(editor.text_document_rename_async(params), PATIENCE)
    assert edit is not None
    assert edit.document_changes
    [changed] = edit.document_changes
    assert isinstance(changed, lsp.TextDocumentEdit)
    assert changed.text_document.version == 1
    assert [each.range.start.line for each in changed.edits] == [5, 6, 6]


async def test_what_could_be_typed_takes_the_place_of_what_was_begun(editor: LanguageClient) -> None:
    uri = await opened(editor, f"{RIGHT}row 3: hd")
    params = lsp.CompletionParams(lsp.TextDocumentIdentifier(uri), lsp.Position(7, 9))
    found = await asyncio.wait_for(editor.text_document_completion_async(params), PATIENCE)
    assert isinstance(found, lsp.CompletionList)
    [half] = [each for each in found.items if each.label == "hdc"]
    assert isinstance(half.text_edit, lsp.TextEdit)
    assert half.text_edit.range == lsp.Range(lsp.Position(7, 7), lsp.Position(7, 9))
    assert half.detail == "half double crochet: uses 1, makes 1"


async def test_the_preview_follows_what_is_typed_and_is_served_to_this_computer_alone(
    editor: LanguageClient,
) -> None:
    uri = await opened(editor, RIGHT)
    params = lsp.ExecuteCommandParams("turnchain.preview", [uri])
    address = await asyncio.wait_for(editor.workspace_execute_command_async(params), PATIENCE)
    assert re.fullmatch(r"http://127\.0\.0\.1:[0-9]+/", address)

    def page() -> str:
        with urlopen(f"{address}page", timeout=PATIENCE) as answer:
            return str(answer.read().decode())

    assert "(14 stitches)" in page()
    await typed(editor, uri, "2 inc, sc to end = 15", 6, 7, 26)
    assert await counts(editor, uri) == ["13 → 13", "13 → 15"]
    assert "(15 stitches)" in page()


async def test_the_colours_of_words_are_told_as_steps_from_one_to_the_next(editor: LanguageClient) -> None:
    uri = await opened(editor, RIGHT)
    params = lsp.SemanticTokensParams(lsp.TextDocumentIdentifier(uri))
    found = await asyncio.wait_for(editor.text_document_semantic_tokens_full_async(params), PATIENCE)
    assert found is not None
    # `turnchain` in line 1, column 1, 9 letters, then `1` ten columns on.
    assert list(found.data[:10]) == [0, 0, 9, 0, 0, 0, 10, 1, 5, 0]


async def test_a_file_that_is_closed_has_nothing_wrong_and_answers_nothing(editor: LanguageClient) -> None:
    uri = await opened(editor, WRONG)
    told = editor.wait_for_notification(lsp.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS)
    editor.text_document_did_close(lsp.DidCloseTextDocumentParams(lsp.TextDocumentIdentifier(uri)))
    await asyncio.wait_for(told, PATIENCE)
    assert not editor.diagnostics[uri]
    params = lsp.HoverParams(lsp.TextDocumentIdentifier(uri), lsp.Position(6, 2))
    assert await asyncio.wait_for(editor.text_document_hover_async(params), PATIENCE) is None


async def test_what_is_wrong_in_a_file_that_is_brought_in_is_told_where_it_is_named(
    editor: LanguageClient, tmp_path: Path
) -> None:
    house = (tmp_path / "house.tch").as_uri()
    (tmp_path / "house.tch").write_text('turnchain 1, US\npattern House\nstitch duo: 2 sc in st "two"\n')
    text = RIGHT.replace("\n\npiece", '\nuse "house.tch"\n\npiece').replace("inc", "duo")
    uri = await opened(editor, text, (tmp_path / "band.tch").as_uri())
    assert not editor.diagnostics[uri]
    # What stands in the editor counts, not what was saved.
    await opened(editor, "turnchain 1, US\npattern House\nstitch duo: 2 sc in in\n", house)
    await asyncio.sleep(0)
    params = lsp.InlayHintParams(lsp.TextDocumentIdentifier(uri), WHOLE)
    await asyncio.wait_for(editor.text_document_inlay_hint_async(params), PATIENCE)
    [told] = editor.diagnostics[uri]
    assert told.range.start.line == 2
    assert "line 3 of" in told.message
