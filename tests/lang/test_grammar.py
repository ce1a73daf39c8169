"""The grammar: no conflicts, the lines it takes and refuses, and its tables, stored or worked out."""

from __future__ import annotations

import json
import logging
from pathlib import Path
from typing import NoReturn

import pytest
from lark import Lark, logger
from lark.exceptions import GrammarError
from turnchain import grammar
from turnchain.grammar import tables
from turnchain.lang.parser import parse
from turnchain.lang.source import Source
from turnchain.lang.syntax import Node

from .entries import ENTRIES, Entry

HEADER = "turnchain 1, US\n"


REFUSED = [entry for entry in ENTRIES if not entry.taken]


@pytest.mark.parametrize("entry", [entry for entry in ENTRIES if entry.taken], ids=lambda entry: entry.text)
def test_takes(entry: Entry) -> None:
    header = "" if entry.text.lower().startswith("turnchain") else HEADER
    tree, faults = parse(Source("lines.txt", header + entry.text + "\n"))
    assert faults == ()
    assert isinstance(tree.statements[-1].node, Node)


@pytest.mark.parametrize("entry", REFUSED, ids=lambda entry: entry.text)
def test_refuses_once_with_a_fitting_hint(entry: Entry) -> None:
    tree, faults = parse(Source("lines.txt", HEADER + entry.text + "\n"))
    assert [f"{fault.name} | {fault.help or fault.message}" for fault in faults] == [entry.says]
    assert tree.statements[1].faulty
    assert tree.statements[1].node is None
    start, end = faults[0].span
    assert len(HEADER) <= start < end <= len(HEADER + entry.text)


@pytest.mark.parametrize("entry", REFUSED, ids=lambda entry: entry.text)
def test_a_fix_mends_the_statement(entry: Entry) -> None:
    text = HEADER + entry.text + "\n"
    (fault,) = parse(Source("lines.txt", text))[1]
    if entry.mended is None:
        assert fault.fix is None
        return
    assert fault.fix is not None
    for edit in sorted(fault.fix.edits, key=lambda edit: -edit.span.start):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    assert text.removeprefix(HEADER).rstrip() == entry.mended
    assert parse(Source("lines.txt", text))[1] == ()


def _heard(text: str, options: dict[str, str], caplog: pytest.LogCaptureFixture) -> str:
    """Return what lark says while it works out a parser."""
    level = logger.level
    logger.addHandler(caplog.handler)
    logger.setLevel(logging.DEBUG)
    try:
        Lark(text, debug=True, **options)
    except GrammarError as error:
        return f"{caplog.text} {error}".lower()
    finally:
        logger.setLevel(level)
        logger.removeHandler(caplog.handler)
    return caplog.text.lower()


def test_has_no_conflicts(caplog: pytest.LogCaptureFixture) -> None:
    said = _heard(grammar.text(), tables.OPTIONS, caplog)
    assert "conflict" not in said
    assert "collision" not in said


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ('start: sum\nsum: sum "+" sum | "x"', "shift/reduce conflict"),
        ('start: a | b\na: "x"\nb: "x"', "reduce/reduce collision"),
    ],
)
def test_a_conflict_would_be_heard(text: str, kind: str, caplog: pytest.LogCaptureFixture) -> None:
    assert kind in _heard(text, {"parser": "lalr"}, caplog)


def test_every_rule_builds_a_node() -> None:
    from turnchain.lang.builder import Builder

    built = {rule["build"] for rule in grammar.parser_tables()["rules"]} - {""}
    assert {"row", "some", "number"} <= built
    assert {name for name in built if not hasattr(Builder, name)} == set()


def test_no_rule_ends_in_a_terminal_that_leaves_nothing() -> None:
    # Such a terminal swallows the blanks behind it, which are no part of what the rule says.
    ends = [rule.expansion[-1] for rule in tables.lark_parser(grammar.text()).rules]
    assert [end.name for end in ends if end.is_term and end.filter_out] == []


def test_reserved_words_are_no_names() -> None:
    words = grammar.reserved_words()
    assert {"in", "to", "x", "blo", "turn", "before", "mm"} <= words
    for word in words:
        assert parse(Source("let", f"{HEADER}let {word} = 4\n"))[1], word


def _in_a_folder(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Put the grammar and its tables into `folder`, to be read from there; return the tables."""
    (folder / "turnchain.lark").write_text(grammar.text(), encoding="utf-8")
    monkeypatch.setattr(grammar, "files", lambda _: folder)
    return tables.write_tables(folder)


def _made_anew(_: str) -> NoReturn:
    raise AssertionError("the tables are worked out anew")


def test_tables_are_taken_as_they_were_stored(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _in_a_folder(tmp_path, monkeypatch)
    worked_out = json.loads(json.dumps(tables.made_of(grammar.text())))
    monkeypatch.setattr(grammar, "made_of", _made_anew)
    assert grammar.parser_tables() == worked_out


@pytest.mark.parametrize("spoilt", ["cut short", "of another grammar", "missing", "no text"])
def test_unfit_tables_are_passed_over(spoilt: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = _in_a_folder(tmp_path, monkeypatch)
    if spoilt == "cut short":
        path.write_bytes(path.read_bytes()[:1000])
    elif spoilt == "of another grammar":
        (tmp_path / "turnchain.lark").write_text(grammar.text() + "// more\n", encoding="utf-8")
    elif spoilt == "no text":
        path.write_bytes(b"\x80\x05")
    else:
        path.unlink()
    before = sorted(tmp_path.iterdir())
    assert grammar.parser_tables() == tables.made_of(grammar.text())
    assert sorted(tmp_path.iterdir()) == before, "nothing is written while the compiler runs"
