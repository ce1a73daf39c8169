"""Vim reads `check --format line` and goes to the place of each fault."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.editor

PATTERN = """turnchain 1, US
pattern Coaster
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 9
note Käse 🧶
row 2: 2 sc,	dx to end # 針
"""

SCRIPT = r"""
set nocompatible encoding=utf-8
let &makeprg = $TURNCHAIN .. ' check --format line %'
set errorformat=%f:%l:%c:\ %t%*[a-z][%*[^]]]:\ %m,%-G%.%#
edit coaster.tch
silent make
let found = []
for one in getqflist()
  execute 'cc ' .. (len(found) + 1)
  let word = matchstr(getline('.'), '.', col('.') - 1)
  call add(found, {'line': line('.'), 'under': word, 'kind': one.type, 'text': one.text})
endfor
call writefile([json_encode(found)], 'found.json')
quitall!
"""


def test_vim_goes_to_every_fault(tmp_path: Path) -> None:
    vim = shutil.which("vim")
    assert vim, "this test needs Vim"
    (tmp_path / "coaster.tch").write_text(PATTERN, encoding="utf-8")
    (tmp_path / "script.vim").write_text(SCRIPT, encoding="utf-8")
    turnchain = Path(sys.executable).with_name("turnchain")
    subprocess.run(
        [vim, "-e", "-s", "-N", "-u", "NONE", "-i", "NONE", "-n", "-S", "script.vim"],
        cwd=tmp_path,
        env={**os.environ, "TURNCHAIN": str(turnchain), "LC_ALL": "C.UTF-8"},
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )
    found = json.loads((tmp_path / "found.json").read_text(encoding="utf-8"))
    assert [(one["line"], one["under"], one["kind"]) for one in found] == [(5, "9", "e"), (7, "d", "e")]
    assert found[0]["text"].startswith("row 1 makes 10 stitches")
    assert found[1]["text"].startswith("there is no stitch called `dx`")
