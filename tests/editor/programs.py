"""The programs of other makers that these tests drive."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

TURNCHAIN = Path(sys.executable).with_name("turnchain")


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
