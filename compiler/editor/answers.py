"""What an editor asks of the server, and the answers: what the features find, as the protocol has it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from lsprotocol import types as lsp
from pygls.exceptions import JsonRpcInvalidParams

from ...lang.diagnostics import Fix
from ...lang.source import Span
from .complete import completions
from .counts import running_counts
from .fixes import offers
from .hover import hover
from .names import can_rename, definition, name_at, places, why_not
from .outline import Entry, folds, outline
from .protocol import Server
from .session import Document
from .tidying import tidied
from .tokens import KINDS, MARKS, coloured

PREVIEW = "turnchain.preview"
T = TypeVar("T")

_SYMBOLS = {
    "pattern": lsp.SymbolKind.File,
    "stitch": lsp.SymbolKind.Function,
    "let": lsp.SymbolKind.Constant,
    "chart": lsp.SymbolKind.Array,
    "piece": lsp.SymbolKind.Class,
    "row": lsp.SymbolKind.Method,
}
_COMPLETIONS = {
    "keyword": lsp.CompletionItemKind.Keyword,
    "stitch": lsp.CompletionItemKind.Function,
    "mark": lsp.CompletionItemKind.Property,
    "value": lsp.CompletionItemKind.Variable,
    "piece": lsp.CompletionItemKind.Class,
    "yarn": lsp.CompletionItemKind.Color,
    "chart": lsp.CompletionItemKind.Value,
    "size": lsp.CompletionItemKind.EnumMember,
}
_LEGEND = lsp.SemanticTokensLegend(list(KINDS), list(MARKS))


def server() -> Server:
    """Return a server that waits for an editor."""
    made = Server()
    _keep_in_step(made)
    _answer_of_rows(made)
    _answer_of_names(made)
    _answer_of_all(made)
    return made


def _keep_in_step(made: Server) -> None:
    @made.feature(lsp.INITIALIZE)
    def _(params: lsp.InitializeParams) -> None:
        made.settle(params)

    @made.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    def _(params: lsp.DidOpenTextDocumentParams) -> None:
        made.open(params.text_document)

    @made.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    def _(params: lsp.DidChangeTextDocumentParams) -> None:
        made.change(params)

    @made.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    def _(params: lsp.DidSaveTextDocumentParams) -> None:
        made.tell_soon(params.text_document.uri, 0)

    @made.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    def _(params: lsp.DidCloseTextDocumentParams) -> None:
        made.close(params.text_document.uri)


def _of(made: Server, uri: str, answer: Callable[[Document], T]) -> T | None:
    """Answer for a file that is open; of any other there is nothing to say."""
    document = made.documents.get(uri)
    return None if document is None else answer(document)


def _answer_of_rows(made: Server) -> None:
    @made.feature(lsp.TEXT_DOCUMENT_INLAY_HINT)
    def _(params: lsp.InlayHintParams) -> list[lsp.InlayHint] | None:
        return _of(made, params.text_document.uri, lambda document: _counts(made, document, params.range))

    @made.feature(lsp.TEXT_DOCUMENT_HOVER)
    def _(params: lsp.HoverParams) -> lsp.Hover | None:
        return _of(made, params.text_document.uri, lambda document: _hover(made, document, params.position))

    kinds = [lsp.CodeActionKind.QuickFix, lsp.CodeActionKind.RefactorRewrite]

    @made.feature(lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions(code_action_kinds=kinds))
    def _(params: lsp.CodeActionParams) -> list[lsp.CodeAction] | None:
        uri = params.text_document.uri
        return _of(made, uri, lambda document: _fixes(made, document, uri, params))

    # A blank is none of them: Enter at the end of a line would take what was offered behind it.
    signs = lsp.CompletionOptions(trigger_characters=["[", "(", "{"])

    @made.feature(lsp.TEXT_DOCUMENT_COMPLETION, signs)
    def _(params: lsp.CompletionParams) -> lsp.CompletionList | None:
        uri = params.text_document.uri
        return _of(made, uri, lambda document: _completions(made, document, params.position))


def _answer_of_names(made: Server) -> None:
    @made.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    def _(params: lsp.DefinitionParams) -> lsp.Location | None:
        uri = params.text_document.uri
        return _of(made, uri, lambda document: _definition(made, document, uri, params.position))

    @made.feature(lsp.TEXT_DOCUMENT_REFERENCES)
    def _(params: lsp.ReferenceParams) -> list[lsp.Location] | None:
        uri, also = params.text_document.uri, params.context.include_declaration
        return _of(
            made,
            uri,
            lambda document: [
                lsp.Location(uri, made.range(document, span))
                for span, defines in _places(made, document, params.position)
                if also or not defines
            ],
        )

    @made.feature(lsp.TEXT_DOCUMENT_DOCUMENT_HIGHLIGHT)
    def _(params: lsp.DocumentHighlightParams) -> list[lsp.DocumentHighlight] | None:
        return _of(
            made,
            params.text_document.uri,
            lambda document: [
                lsp.DocumentHighlight(
                    made.range(document, span),
                    lsp.DocumentHighlightKind.Write if defines else lsp.DocumentHighlightKind.Read,
                )
                for span, defines in _places(made, document, params.position)
            ],
        )

    @made.feature(lsp.TEXT_DOCUMENT_PREPARE_RENAME)
    def _(params: lsp.PrepareRenameParams) -> lsp.Range | None:
        return _of(made, params.text_document.uri, lambda document: _renamed(made, document, params.position))

    @made.feature(lsp.TEXT_DOCUMENT_RENAME, lsp.RenameOptions(prepare_provider=True))
    def _(params: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
        uri = params.text_document.uri
        return _of(made, uri, lambda document: _rename(made, document, uri, params))


def _answer_of_all(made: Server) -> None:
    @made.feature(lsp.TEXT_DOCUMENT_FORMATTING)
    def _(params: lsp.DocumentFormattingParams) -> list[lsp.TextEdit] | None:
        return _of(made, params.text_document.uri, lambda document: _tidied(made, document))

    @made.feature(lsp.TEXT_DOCUMENT_DOCUMENT_SYMBOL)
    def _(params: lsp.DocumentSymbolParams) -> list[lsp.DocumentSymbol] | None:
        return _of(
            made,
            params.text_document.uri,
            lambda document: [_symbol(made, document, each) for each in outline(document.analysis.tree)],
        )

    @made.feature(lsp.TEXT_DOCUMENT_FOLDING_RANGE)
    def _(params: lsp.FoldingRangeParams) -> list[lsp.FoldingRange] | None:
        return _of(made, params.text_document.uri, lambda document: _folds(made, document))

    @made.feature(lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, _LEGEND)
    def _(params: lsp.SemanticTokensParams) -> lsp.SemanticTokens | None:
        return _of(made, params.text_document.uri, lambda document: _coloured(made, document, None))

    @made.feature(lsp.TEXT_DOCUMENT_SEMANTIC_TOKENS_RANGE, _LEGEND)
    def _(params: lsp.SemanticTokensRangeParams) -> lsp.SemanticTokens | None:
        uri = params.text_document.uri
        return _of(made, uri, lambda document: _coloured(made, document, params.range))

    @made.command(PREVIEW)
    def _(uri: str) -> str | None:
        return made.show_preview(uri)


# ---- the answers -------------------------------------------------------------------------------------------


def _counts(made: Server, document: Document, place: lsp.Range) -> list[lsp.InlayHint]:
    return [
        lsp.InlayHint(
            made.range(document, Span(each.offset, each.offset)).start,
            each.text,
            tooltip=each.more or None,
            padding_left=True,
        )
        for each in running_counts(document.analysis, made.span(document, place))
    ]


def _hover(made: Server, document: Document, place: lsp.Position) -> lsp.Hover | None:
    found = hover(document.analysis, made.offset(document, place))
    if found is None:
        return None
    words = lsp.MarkupContent(lsp.MarkupKind.Markdown, found.markdown)
    return lsp.Hover(words, made.range(document, found.span))


def _tidied(made: Server, document: Document) -> list[lsp.TextEdit] | None:
    text = tidied(document.analysis)
    whole = Span(0, len(document.source.text))
    return None if text is None else [lsp.TextEdit(made.range(document, whole), text)]


def _fixes(made: Server, document: Document, uri: str, params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
    actions = []
    for offer in offers(document.analysis, made.span(document, params.range)):
        mended = [
            each
            for each in params.context.diagnostics
            if offer.mends is not None
            and each.code == offer.mends.name
            and each.range == made.range(document, offer.mends.span)
        ]
        actions.append(_action(made, document, uri, offer.fix, mended, is_fix=offer.mends is not None))
    return actions


def _action(
    made: Server, document: Document, uri: str, fix: Fix, mended: list[lsp.Diagnostic], *, is_fix: bool
) -> lsp.CodeAction:
    edits = [(each.span, each.text) for each in fix.edits]
    return lsp.CodeAction(
        title=fix.title,
        kind=lsp.CodeActionKind.QuickFix if is_fix else lsp.CodeActionKind.RefactorRewrite,
        diagnostics=mended or None,
        is_preferred=fix.safe or None,
        edit=made.edit(uri, document, edits),
    )


def _symbol(made: Server, document: Document, entry: Entry) -> lsp.DocumentSymbol:
    return lsp.DocumentSymbol(
        name=entry.name or entry.kind,
        kind=_SYMBOLS[entry.kind],
        range=made.range(document, entry.span),
        selection_range=made.range(document, entry.name_span),
        children=[_symbol(made, document, each) for each in entry.inner] or None,
    )


def _folds(made: Server, document: Document) -> list[lsp.FoldingRange]:
    ranges = [made.range(document, span) for span in folds(document.analysis.tree)]
    return [
        lsp.FoldingRange(each.start.line, each.end.line) for each in ranges if each.end.line > each.start.line
    ]


def _completions(made: Server, document: Document, place: lsp.Position) -> lsp.CompletionList:
    span, found = completions(document.analysis, made.offset(document, place))
    over = made.range(document, span)
    items = [
        lsp.CompletionItem(
            each.text,
            kind=_COMPLETIONS[each.kind],
            detail=each.detail or None,
            text_edit=lsp.TextEdit(over, each.text),
        )
        for each in found
    ]
    return lsp.CompletionList(is_incomplete=False, items=items)


def _definition(made: Server, document: Document, uri: str, place: lsp.Position) -> lsp.Location | None:
    found = definition(document.analysis, made.offset(document, place))
    return None if found is None else made.location(document, uri, found.span, found.file)


def _places(made: Server, document: Document, place: lsp.Position) -> list[tuple[Span, bool]]:
    name = name_at(document.analysis, made.offset(document, place))
    return [] if name is None else [(each.span, each.defines) for each in places(document.analysis, name)]


def _renamed(made: Server, document: Document, place: lsp.Position) -> lsp.Range | None:
    name = name_at(document.analysis, made.offset(document, place))
    if name is None or not can_rename(document.analysis, name):
        return None
    return made.range(document, name.span)


def _rename(made: Server, document: Document, uri: str, params: lsp.RenameParams) -> lsp.WorkspaceEdit | None:
    analysis = document.analysis
    name = name_at(analysis, made.offset(document, params.position))
    if name is None or not can_rename(analysis, name):
        return None
    if why := why_not(analysis, name, params.new_name):
        raise JsonRpcInvalidParams(why)
    return made.edit(uri, document, ((each.span, params.new_name) for each in places(analysis, name)))


def _coloured(made: Server, document: Document, place: lsp.Range | None) -> lsp.SemanticTokens:
    within = Span(0, len(document.source.text)) if place is None else made.span(document, place)
    source, units = document.source, made.units
    starts = (*source.line_starts, len(source.text) + 1)
    numbers: list[int] = []
    line = line_before = column_before = 0
    for (start, end), kind, marks in coloured(document.analysis, within):
        while starts[line + 1] <= start:
            line += 1
        if line > line_before:
            column_before = 0
        column = units.width(source.text[starts[line] : start])
        long = units.width(source.text[start:end])
        said = sum(1 << MARKS.index(mark) for mark in marks)
        numbers += (line - line_before, column - column_before, long, KINDS.index(kind), said)
        line_before, column_before = line, column
    return lsp.SemanticTokens(numbers)


def serve() -> None:
    """Speak to the editor that started this program, until it says that it is done."""
    server().start_io()
