"""The syntax definition, read by the library that Kate colours by, tells words apart as the parser does."""

from __future__ import annotations

import html
import re
import subprocess
from pathlib import Path

import pytest
from turnchain.lang.highlighting.kinds import Kind

from .programs import program, read, surroundings

pytestmark = pytest.mark.editor

ROOT = Path(__file__).parents[2]
DEFINITION = ROOT / "lang/editors/kate/turnchain.xml"
COLOURS = {kind: f"#0000{number + 16:02x}" for number, kind in enumerate(Kind)}


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Return a home with the definition in it, each kind of word in a colour of its own."""
    definition = DEFINITION.read_text("utf-8")
    for kind, colour in COLOURS.items():
        style = re.compile(rf'(<itemData name="{kind.value}") defStyleNum="\w+"')
        definition, many = style.subn(rf'\1 defStyleNum="dsNormal" color="{colour}"', definition)
        assert many == 1
    folder = tmp_path / ".local/share/org.kde.syntax-highlighting/syntax"
    folder.mkdir(parents=True)
    (folder / "turnchain.xml").write_text(definition, "utf-8")
    return tmp_path


def coloured(path: Path, home: Path) -> list[str]:
    """Return the kind of each character that is no blank, with the character."""
    done = subprocess.run(
        [program("kate-syntax-highlighter"), "--syntax", "Turnchain", str(path)],
        env={**surroundings(home), "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    kinds = {colour: kind.value for kind, colour in COLOURS.items()}
    body = done.stdout.partition("<pre>")[2].rpartition("</pre>")[0]
    found = []
    for colour, style, run in re.findall(r'<span style="color:(#\w+);([^"]*)">([^<]*)</span>|[^<]+', body):
        assert not style
        found += [f"{char} {kinds.get(colour, '-')}" for char in html.unescape(run) if not char.isspace()]
    return found


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*.tch")), ids=lambda path: path.stem)
def test_every_word_has_the_kind_that_the_parser_reads_it_as(path: Path, home: Path) -> None:
    assert coloured(path, home) == read(path.read_text("utf-8"))
