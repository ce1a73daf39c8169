"""Editors set up as their page says: open an example, break a count, take the fix, tidy, save."""

from __future__ import annotations

import json
import subprocess
import tomllib
from pathlib import Path

import pytest

from .programs import program, set_up, surroundings

pytestmark = pytest.mark.editor

EXAMPLE = Path(__file__).parents[2] / "examples/lantern-hat.tch"

NEOVIM = r"""
local function wait(what, holds)
  assert(vim.wait(30000, holds, 20), "nothing came: " .. what)
end
local found, told = {}, function() return vim.diagnostic.get(0) end

vim.cmd("edit " .. vim.fn.fnameescape("my Hüte/hat.tch"))
vim.cmd([[%s/= 16$/= 15/]])
vim.cmd([[%s/ring = 8/ring   = 8/]])
wait("what is wrong", function() return #told() > 0 end)
local wrong = told()[1]
found.message, found.line, found.code = wrong.message, wrong.lnum + 1, wrong.code
found.many = #told()
vim.api.nvim_win_set_cursor(0, { wrong.lnum + 1, wrong.col })
vim.ui.select = function(items, _, choose) choose(items[1], 1) end
vim.lsp.buf.code_action()
wait("the fix", function() return vim.api.nvim_get_current_line():find("= 16") ~= nil end)
wait("all well", function() return #told() == 0 end)
local tidy = vim.lsp.buf.format or vim.lsp.buf.formatting_sync
tidy({ async = false, timeout_ms = 20000 })
found.hints = vim.lsp.inlay_hint ~= nil
vim.cmd("write")
vim.fn.writefile({ vim.fn.json_encode(found) }, "found.json")
vim.cmd("qall!")
"""

EMACS = r"""
(setq eglot-sync-connect 30 eglot-autoshutdown nil create-lockfiles nil make-backup-files nil)
(find-file "my Hüte/hat.tch")
(apply #'eglot (eglot--guess-contact))
(defun wait (what holds)
  (let ((until (+ (float-time) 30)))
    (while (not (funcall holds))
      (when (> (float-time) until) (error "Nothing came: %s" what))
      (accept-process-output nil 0.05)
      (eglot--signal-textDocument/didChange)
      (flymake-start))))
(defun change (from to)
  (goto-char (point-min))
  (re-search-forward from)
  (replace-match to))
(change "= 16$" "= 15")
(change "ring = 8" "ring   = 8")
(wait "what is wrong" #'flymake-diagnostics)
(let* ((all (flymake-diagnostics))
       (wrong (car all))
       (found `((message . ,(flymake-diagnostic-text wrong))
                (line . ,(line-number-at-pos (flymake-diagnostic-beg wrong)))
                (many . ,(length all)))))
  (goto-char (flymake-diagnostic-beg wrong))
  (cl-letf (((symbol-function 'completing-read)
             (lambda (_ choices &rest _) (car (all-completions "" choices))))
            (last-nonmenu-event t))
    (eglot-code-actions (point) nil "quickfix" t))
  (wait "all well" (lambda () (not (flymake-diagnostics))))
  (eglot-format-buffer)
  (save-buffer)
  (write-region (json-encode found) nil (expand-file-name "../found.json")))
(kill-emacs 0)
"""


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    path = tmp_path / "my Hüte" / "hat.tch"
    path.parent.mkdir()
    path.write_text(EXAMPLE.read_text("utf-8"), "utf-8")
    return path


def driven(folder: Path, *words: str) -> dict[str, object]:
    home = folder / "home"
    home.mkdir()
    done = subprocess.run(
        words,
        cwd=folder,
        env=surroundings(home),
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=180,
        check=False,
    )
    said = folder / "found.json"
    assert said.exists(), done.stdout + done.stderr
    found: dict[str, object] = json.loads(said.read_text("utf-8"))
    return found


def test_neovim(tmp_path: Path, pattern: Path) -> None:
    (tmp_path / "init.lua").write_text(set_up("neovim"), "utf-8")
    (tmp_path / "script.lua").write_text(NEOVIM, "utf-8")
    found = driven(
        tmp_path,
        program("nvim"),
        "--headless",
        "-n",
        "-i",
        "NONE",
        "-u",
        "init.lua",
        "+luafile script.lua",
        "+cquit",
    )
    assert (found["line"], found["many"], found["code"]) == (18, 1, "stated-total")
    assert str(found["message"]).startswith("round 2 makes 16 stitches, but the line says 15")
    assert pattern.read_text("utf-8") == EXAMPLE.read_text("utf-8")


def test_emacs(tmp_path: Path, pattern: Path) -> None:
    (tmp_path / "init.el").write_text(f"(require 'eglot)\n(require 'json)\n{set_up('emacs')}", "utf-8")
    (tmp_path / "script.el").write_text(EMACS, "utf-8")
    # Emacs reads what a distribution has packed for it only where it may read its site files.
    found = driven(
        tmp_path,
        program("emacs"),
        "--batch",
        "--eval",
        "(package-initialize)",
        "-l",
        "init.el",
        "-l",
        "script.el",
    )
    assert (found["line"], found["many"]) == (18, 1)
    assert "round 2 makes 16 stitches, but the line says 15" in str(found["message"])
    assert pattern.read_text("utf-8") == EXAMPLE.read_text("utf-8")


def test_kate_and_helix_are_told_the_program_and_the_files() -> None:
    kate = json.loads(set_up("kate"))["servers"]["turnchain"]
    helix = tomllib.loads(set_up("helix"))
    assert kate["command"] == ["turnchain", "editor"]
    assert helix["language-server"]["turnchain"] == {"command": "turnchain", "args": ["editor"]}
    (language,) = helix["language"]
    assert language["file-types"] == ["tch"]
    assert language["language-servers"] == ["turnchain"]
