"""JSON for programs, held against its schema."""

import json
from importlib.resources import files

import pytest
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError
from turnchain.compiler import report
from turnchain.compiler.report.json import json_text
from turnchain.lang.diagnostics import Diagnostic, Fix, Label, Severity
from turnchain.lang.source import Source, Span

SCHEMA = json.loads(files(report).joinpath("diagnostics.schema.json").read_text(encoding="utf-8"))
HAT = Source("hat.tch", "pattern Hat\nrow 2: 貝, sc to end = 19\n")
FULL = Diagnostic(
    "stated-total",
    "row 2 makes 21 stitches, but the line says 19",
    Span(34, 36),
    label="stated",
    tallies=(Label(Span(19, 20), "5"), Label(Span(22, 31), "16")),
    related=(Label(Span(0, 7), "the pattern"),),
    notes=("row 1 left 17 places",),
    help="write `= 21`",
    fix=Fix("write `= 21`", (Label(Span(34, 36), "21"),), safe=False),
    sizes=("adult",),
    facts={"expected": 19, "found": 21, "unit": "row"},
)


def document(*diagnostics: Diagnostic, sources: tuple[Source, ...] = ()) -> dict[str, object]:
    found = json.loads(json_text(diagnostics, lambda _: HAT, sources))
    Draft202012Validator(SCHEMA).validate(found)
    assert isinstance(found, dict)
    return found


def only(*diagnostics: Diagnostic) -> dict[str, object]:
    [file] = json.loads(json_text(diagnostics, lambda _: HAT))["files"]
    [one] = file["diagnostics"]
    assert isinstance(one, dict)
    return one


def test_the_schema_is_sound() -> None:
    Draft202012Validator.check_schema(SCHEMA)


def test_a_full_diagnostic_keeps_all_it_has() -> None:
    document(FULL)
    assert only(FULL) == {
        "name": "stated-total",
        "severity": "error",
        "message": "row 2 makes 21 stitches, but the line says 19",
        "line": 2,
        "column": 23,
        "end_line": 2,
        "end_column": 25,
        "offset": 34,
        "end_offset": 36,
        "label": "stated",
        "tallies": [
            {
                "text": "5",
                "line": 2,
                "column": 8,
                "end_line": 2,
                "end_column": 9,
                "offset": 19,
                "end_offset": 20,
            },
            {
                "text": "16",
                "line": 2,
                "column": 11,
                "end_line": 2,
                "end_column": 20,
                "offset": 22,
                "end_offset": 31,
            },
        ],
        "related": [
            {
                "text": "the pattern",
                "line": 1,
                "column": 1,
                "end_line": 1,
                "end_column": 8,
                "offset": 0,
                "end_offset": 7,
            }
        ],
        "notes": ["row 1 left 17 places"],
        "help": "write `= 21`",
        "fix": {
            "title": "write `= 21`",
            "safe": False,
            "edits": [
                {
                    "text": "21",
                    "line": 2,
                    "column": 23,
                    "end_line": 2,
                    "end_column": 25,
                    "offset": 34,
                    "end_offset": 36,
                }
            ],
        },
        "sizes": ["adult"],
        "facts": {"expected": 19, "found": 21, "unit": "row"},
    }


def test_a_bare_diagnostic_has_every_field() -> None:
    bare = Diagnostic("zero-count", "0 stitches", Span(0, 0), Severity.WARNING)
    document(bare)
    assert only(bare).keys() == only(FULL).keys()
    assert only(bare)["fix"] is None
    assert only(bare)["severity"] == "warning"


def test_the_version_comes_with_every_file_that_was_checked() -> None:
    clean = Source("clean.tch", "")
    found = document(sources=(clean, HAT))
    assert found == {
        "version": 1,
        "files": [{"file": "clean.tch", "diagnostics": []}, {"file": "hat.tch", "diagnostics": []}],
    }


def test_the_text_is_ascii_whatever_the_author_wrote() -> None:
    assert json_text([Diagnostic("wrong-character", "`貝\ud800`", Span(0, 1))], lambda _: HAT).isascii()


@pytest.mark.parametrize(
    "change",
    [
        {"version": 2},
        {"version": None},
        {"files": [{"file": "hat.tch"}]},
        {"files": [{"file": "hat.tch", "diagnostics": [{**only(FULL), "line": 0}]}]},
        {"files": [{"file": "hat.tch", "diagnostics": [{**only(FULL), "severity": "hint"}]}]},
        {"files": [{"file": "hat.tch", "diagnostics": [{**only(FULL), "colour": "red"}]}]},
        {"files": [{"file": "hat.tch", "diagnostics": [{**only(FULL), "tallies": [{"text": "5"}]}]}]},
    ],
)
def test_the_schema_refuses_what_a_report_never_says(change: dict[str, object]) -> None:
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate({**document(FULL), **change})
