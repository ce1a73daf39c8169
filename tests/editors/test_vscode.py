"""The extension for VS Code: its code fits the editor's types, and it is packed from what is at hand."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from pathlib import Path
from zipfile import ZipFile

import pytest

from .programs import node_modules, program

pytestmark = pytest.mark.editor

EXTENSION = Path(__file__).parents[2] / "lang/editors/vscode"


def test_the_extension_is_checked_bundled_and_packed(tmp_path: Path) -> None:
    folder = tmp_path / "vscode"
    shutil.copytree(EXTENSION, folder, ignore=shutil.ignore_patterns("node_modules", "out", "*.vsix"))
    (folder / "node_modules").symlink_to(node_modules("vscode-languageclient"))
    done = subprocess.run(
        [program("npm"), "run", "--silent", "package"],
        cwd=folder,
        # Nothing of it may be fetched: a registry that can't be reached.
        env={**os.environ, "HOME": str(tmp_path), "npm_config_offline": "true"},
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    (packed,) = folder.glob("*.vsix")
    with ZipFile(packed) as archive:
        names = set(archive.namelist())
        manifest = json.loads(archive.read("extension/package.json"))
        grammar = archive.read("extension/syntaxes/turnchain.tmLanguage.json")
        bundle = archive.read("extension/out/extension.js").decode()
    assert {"extension.vsixmanifest", "extension/language-configuration.json", "extension/readme.md"} <= names
    assert not [name for name in names if "node_modules" in name or name.endswith(".ts")]
    assert grammar == (EXTENSION / "syntaxes/turnchain.tmLanguage.json").read_bytes()
    for name in (manifest["main"], *(each["path"] for each in manifest["contributes"]["grammars"])):
        assert f"extension/{name.removeprefix('./')}" in names
    assert 'require("vscode")' in bundle


def test_code_that_does_not_fit_the_editor_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "vscode"
    shutil.copytree(EXTENSION, folder, ignore=shutil.ignore_patterns("node_modules", "out", "*.vsix"))
    (folder / "node_modules").symlink_to(node_modules("vscode-languageclient"))
    code = folder / "src/extension.ts"
    code.write_text(
        code.read_text("utf-8").replace("window.activeTextEditor", "window.activeEditor"), "utf-8"
    )
    command = [program("tsc"), "--noEmit"]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=240, check=False)
    assert done.returncode != 0
    assert "activeEditor" in done.stdout
