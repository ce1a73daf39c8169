"""Diagnostics as a log in SARIF 2.1.0 (OASIS standard), which code hosts and editors show beside the lines.

Lines and columns are counted from 1, columns in characters; an end is the place after the last character.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from importlib.metadata import version
from pathlib import Path
from urllib.parse import quote

from ...lang.diagnostics import Diagnostic, Fix, Label
from ...lang.source import Source, Span
from ..explain import explanation
from .files import SourceOf, by_file

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"

Json = dict[str, object]


def sarif(diagnostics: Iterable[Diagnostic], source_of: SourceOf, sources: Iterable[Source] = ()) -> str:
    """Return the log as JSON in ASCII, with an explanation of each kind of diagnostic in it."""
    files = by_file(diagnostics, source_of, sources)
    rules = sorted({one.name for _, here in files for one in here})
    driver = {"name": "Turnchain", "version": version("turnchain"), "rules": [_rule(name) for name in rules]}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "newlineSequences": ["\r\n", "\n", "\r"],
        "artifacts": [{"location": _file(source)} for source, _ in files],
        "results": [_result(one, source, rules) for source, here in files for one in here],
    }
    return json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, indent=2)


def _rule(name: str) -> Json:
    page = explanation(name)
    if page is None:
        return {"id": name}
    return {
        "id": name,
        "shortDescription": {"text": page.title},
        "fullDescription": {"text": page.text},
        "help": {"text": f"{page.text}\n\nWrong:\n\n{page.wrong}\nRight:\n\n{page.right}"},
    }


def _result(diagnostic: Diagnostic, source: Source, rules: Sequence[str]) -> Json:
    words = diagnostic.message
    if diagnostic.sizes:
        words = f"{words} (in size {', '.join(diagnostic.sizes)})"
    related = (*diagnostic.related, *diagnostic.tallies)
    result: Json = {
        "ruleId": diagnostic.name,
        "ruleIndex": rules.index(diagnostic.name),
        "level": diagnostic.severity.value,
        "message": {"text": "\n".join(filter(None, (words, *diagnostic.notes, diagnostic.help)))},
        "locations": [_location(diagnostic.span, source)],
    }
    if related:
        result["relatedLocations"] = [_related(label, source) for label in related]
    if diagnostic.fix:
        result["fixes"] = [_fix(diagnostic.fix, source)]
    return result


def _related(label: Label, source: Source) -> Json:
    return {**_location(label.span, source), "message": {"text": label.text}}


def _fix(fix: Fix, source: Source) -> Json:
    replacements = [
        {"deletedRegion": _region(edit.span, source), "insertedContent": {"text": edit.text}}
        for edit in fix.edits
    ]
    change = {"artifactLocation": _file(source), "replacements": replacements}
    return {"description": {"text": fix.title}, "artifactChanges": [change]}


def _location(span: Span, source: Source) -> Json:
    return {"physicalLocation": {"artifactLocation": _file(source), "region": _region(span, source)}}


def _file(source: Source) -> Json:
    path = Path(source.name)
    return {"uri": path.as_uri() if path.is_absolute() else quote(path.as_posix())}


def _region(span: Span, source: Source) -> Json:
    return {
        "startLine": source.line_number(span.start),
        "startColumn": source.column(span.start),
        "endLine": source.line_number(span.end),
        "endColumn": source.column(span.end),
    }
