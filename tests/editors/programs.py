"""The programs of other makers that these tests drive, and what they are held against."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

from turnchain.lang.highlighting.words import words

TURNCHAIN = Path(sys.executable).with_name("turnchain")


def read(text: str) -> list[str]:
    """Return each character that is no blank with its kind, as the parser reads a pattern."""
    of = ["-"] * len(text)
    for kind, (start, end) in words(text):
        of[start:end] = [kind.value] * (end - start)
    return [f"{char} {kind}" for char, kind in zip(text, of, strict=True) if not char.isspace()]


def program(name: str) -> str:
    """Return where a program is."""
    found = shutil.which(name)
    assert found, f"this test needs {name}: `.ci/apt-packages` and `.ci/npm-packages` name what to install"
    return found


def node_modules(package: str) -> Path:
    """Return the folder of npm packages that has `package` in it: one whose programs are on the path."""
    for folder in os.environ["PATH"].split(os.pathsep):
        beside = Path(folder).parent
        if (beside / package).is_dir():
            return beside
    raise AssertionError(f"this test needs {package} in a `node_modules`, and its `.bin` on the path")


def set_up(editor: str) -> str:
    """Return the set-up of an editor that its page shows."""
    page = (Path(__file__).parents[2] / "lang/editors.md").read_text("utf-8")
    _, _, behind = page.partition(f"<!-- {editor} -->\n```")
    _, _, block = behind.partition("\n")
    return block.partition("```")[0]


def surroundings(home: Path) -> dict[str, str]:
    """Return what an editor is to find: a home of its own, and the program on the path."""
    path = os.pathsep.join((str(TURNCHAIN.parent), os.environ["PATH"]))
    ours = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    return {**ours, "PATH": path, "HOME": str(home), "LC_ALL": "C.UTF-8"}
