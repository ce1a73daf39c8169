"""The grammar: no conflicts, the lines it takes and refuses, and tables that are the same parser sooner."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from pathlib import Path

import pytest
from lark import Lark, logger
from lark.exceptions import GrammarError
from turnchain import grammar
from turnchain.grammar import tables
from turnchain.lang.parser import parse
from turnchain.lang.source import Source
from turnchain.lang.syntax import Node

HEADER = "turnchain 1, US\n"


@dataclass(frozen=True)
class Entry:
    """One statement of lines.txt and what is to be said about it."""

    text: str
    taken: bool
    says: str = ""
    mended: str | None = None


def _entries() -> list[Entry]:
    found: list[Entry] = []
    for line in Path(__file__).with_name("lines.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith(("+ ", "- ")):
            found.append(Entry(line[2:], line[0] == "+"))
        elif line.startswith("    -> "):
            last = found.pop()
            found.append(Entry(last.text, False, last.says, line[7:]))
        elif line.startswith("    "):
            found.append(Entry(found.pop().text, False, line.strip()))
    return found


ENTRIES = _entries()
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

    rules = {rule.alias or rule.origin.name for rule in grammar.parser().rules}
    # A rule with `?` hands on its one child, and one with `_` belongs to lark.
    unbuilt = {
        str(rule) for rule in rules if not str(rule).startswith("_") and not hasattr(Builder, str(rule))
    }
    assert unbuilt <= {"statement", "content", "item", "count", "expr", "term", "atom"}


def test_reserved_words_are_no_names() -> None:
    words = grammar.reserved_words()
    assert {"in", "to", "x", "blo", "turn", "before", "mm"} <= words
    for word in words:
        assert parse(Source("let", f"{HEADER}let {word} = 4\n"))[1], word


def test_tables_are_the_same_parser(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "turnchain.lark").write_text(grammar.text(), encoding="utf-8")
    tables.write_tables(tmp_path)
    monkeypatch.setattr(grammar, "files", lambda _: tmp_path)
    loaded = grammar._loaded(grammar.text(), None)
    assert loaded is not None
    built = Lark(grammar.text(), **tables.OPTIONS)
    for entry in ENTRIES:
        if entry.taken and "#" not in entry.text:
            assert loaded.parse(entry.text) == built.parse(entry.text)


@pytest.mark.parametrize("spoilt", ["of another lark", "cut short", "of another grammar", "missing"])
def test_unfit_tables_are_passed_over(spoilt: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "turnchain.lark").write_text(grammar.text(), encoding="utf-8")
    path = tables.write_tables(tmp_path)
    if spoilt == "of another lark":
        monkeypatch.setattr("lark.__version__", "0.0.1")
    elif spoilt == "cut short":
        path.write_bytes(path.read_bytes()[:1000])
    elif spoilt == "of another grammar":
        (tmp_path / "turnchain.lark").write_text(grammar.text() + "// more\n", encoding="utf-8")
    else:
        path.unlink()
    before = sorted(tmp_path.iterdir())
    monkeypatch.setattr(grammar, "files", lambda _: tmp_path)
    assert grammar._loaded(grammar.text(), None) is None
    assert grammar.parser().parse("row 1: sc").data == "row"
    assert sorted(tmp_path.iterdir()) == before, "nothing is written while the compiler runs"
