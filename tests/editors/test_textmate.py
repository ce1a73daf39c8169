"""The TextMate grammar, read by VS Code's own library, tells words apart as the parser does."""

from __future__ import annotations

import json
import os
import subprocess
from pathlib import Path

import pytest
from turnchain.lang.highlighting.textmate import SCOPES

from .programs import node_modules, program, read

pytestmark = pytest.mark.editor

ROOT = Path(__file__).parents[2]
GRAMMAR = ROOT / "lang/editors/vscode/syntaxes/turnchain.tmLanguage.json"
PATTERNS = sorted([*(ROOT / "examples").glob("*.tch"), *(ROOT / "tests/handbooks").rglob("*.tch")])


def tokenized(paths: list[Path]) -> list[list[list[tuple[int, int, str]]]]:
    script = Path(__file__).with_name("scopes.cjs")
    done = subprocess.run(
        [program("node"), str(script), str(GRAMMAR)],
        input=json.dumps([str(path) for path in paths]),
        env={**os.environ, "NODE_PATH": str(node_modules("vscode-textmate"))},
        capture_output=True,
        text=True,
        check=True,
        timeout=120,
    )
    found: list[list[list[tuple[int, int, str]]]] = json.loads(done.stdout)
    return found


def coloured(text: str, lines: list[list[tuple[int, int, str]]]) -> list[str]:
    """Return the kind of each character that is no blank, with the character."""
    kinds = {f"{scope}.turnchain": kind.value for kind, scope in SCOPES.items()}
    found = []
    for line, tokens in zip(text.split("\n"), lines, strict=True):
        units = line.encode("utf-16-le")
        for start, end, scope in tokens:
            run = units[2 * start : 2 * end].decode("utf-16-le")
            found += [f"{char} {kinds.get(scope, '-')}" for char in run if not char.isspace()]
    return found


def test_every_word_has_the_kind_that_the_parser_reads_it_as() -> None:
    assert PATTERNS
    for path, lines in zip(PATTERNS, tokenized(PATTERNS), strict=True):
        text = path.read_text("utf-8")
        assert (path.name, coloured(text, lines)) == (path.name, read(text))


def test_words_of_any_script_are_counted_as_the_editor_counts(tmp_path: Path) -> None:
    path = tmp_path / "hat.tch"
    text = "turnchain 1, US\nnote Käse 🧶 針\npiece Hut_für_Ænne, turned rows\nrow 1: 2 sc, dc2tog # 🧶 3\n"
    path.write_text(text, "utf-8")
    assert coloured(text, tokenized([path])[0]) == read(text)
