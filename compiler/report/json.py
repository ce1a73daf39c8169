"""Diagnostics for programs: versioned JSON, described by `diagnostics.schema.json` beside this module.

Lines and columns are counted from 1, columns and offsets in characters; an end is the place after the last
character. Fields may be added within a version; a field that changes its meaning or goes raises the version.
"""

from __future__ import annotations

import json
from collections.abc import Iterable

from ...lang.diagnostics import Diagnostic, Fix, Label
from ...lang.source import Source, Span
from .files import SourceOf, by_file

VERSION = 1

Json = dict[str, object]


def json_text(diagnostics: Iterable[Diagnostic], source_of: SourceOf, sources: Iterable[Source] = ()) -> str:
    """Return the report as JSON in ASCII; `sources` are listed even if there is nothing to say of them."""
    files = [
        {"file": source.name, "diagnostics": [_diagnostic(one, source) for one in here]}
        for source, here in by_file(diagnostics, source_of, sources)
    ]
    return json.dumps({"version": VERSION, "files": files}, indent=2)


def _diagnostic(diagnostic: Diagnostic, source: Source) -> Json:
    return {
        "name": diagnostic.name,
        "severity": diagnostic.severity.value,
        "message": diagnostic.message,
        **_place(diagnostic.span, source),
        "label": diagnostic.label,
        "tallies": [_label(one, source) for one in diagnostic.tallies],
        "related": [_label(one, source) for one in diagnostic.related],
        "notes": list(diagnostic.notes),
        "help": diagnostic.help,
        "fix": _fix(diagnostic.fix, source) if diagnostic.fix else None,
        "sizes": list(diagnostic.sizes),
        "facts": dict(diagnostic.facts),
    }


def _fix(fix: Fix, source: Source) -> Json:
    return {"title": fix.title, "safe": fix.safe, "edits": [_label(edit, source) for edit in fix.edits]}


def _label(label: Label, source: Source) -> Json:
    return {"text": label.text, **_place(label.span, source)}


def _place(span: Span, source: Source) -> Json:
    return {
        "line": source.line_number(span.start),
        "column": source.column(span.start),
        "end_line": source.line_number(span.end),
        "end_column": source.column(span.end),
        "offset": span.start,
        "end_offset": span.end,
    }
