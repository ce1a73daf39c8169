"""pre-commit installs the hooks from this repository, and refuses a commit with a wrong count."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

from .programs import TURNCHAIN

pytestmark = pytest.mark.editor

ROOT = Path(__file__).parents[2]
COASTER = """turnchain 1, US
pattern Coaster
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
"""
HOOKS = """repos:
  - repo: {repository}
    rev: {revision}
    hooks:
      - id: turnchain-check
      - id: turnchain-tidy
"""


@pytest.fixture
def git(tmp_path: Path) -> dict[str, str]:
    """Return the surroundings of git: a home of its own, and somebody who commits."""
    (tmp_path / "home").mkdir()
    who = {
        f"GIT_{role}_{what}": "tester@example.org"
        for role in ("AUTHOR", "COMMITTER")
        for what in ("NAME", "EMAIL")
    }
    ours = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    return {**ours, **who, "HOME": str(tmp_path / "home"), "GIT_CONFIG_NOSYSTEM": "1"}


def run(folder: Path, surroundings: dict[str, str], *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        words, cwd=folder, env=surroundings, capture_output=True, text=True, timeout=300, check=False
    )


def repository(folder: Path, surroundings: dict[str, str]) -> str:
    """Make a repository of what is in `folder`, and return its one revision."""
    for words in (("init", "--quiet"), ("add", "--all"), ("commit", "--quiet", "--message", "All")):
        done = run(folder, surroundings, "git", *words)
        assert done.returncode == 0, done.stderr
    return run(folder, surroundings, "git", "rev-parse", "HEAD").stdout.strip()


def test_a_commit_with_a_wrong_count_is_refused(tmp_path: Path, git: dict[str, str]) -> None:
    hooks = tmp_path / "hooks"
    listed = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout
    for name in filter(None, listed.split("\0")):
        if (ROOT / name).exists() and not name.startswith("tests/"):
            (hooks / name).parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(ROOT / name, hooks / name)
    patterns = tmp_path / "patterns"
    patterns.mkdir()
    revision = repository(hooks, git)
    (patterns / ".pre-commit-config.yaml").write_text(
        HOOKS.format(repository=hooks.as_uri(), revision=revision)
    )
    (patterns / "coaster.tch").write_text(COASTER)
    repository(patterns, git)
    hook = str(TURNCHAIN.with_name("pre-commit"))
    installed = run(patterns, git, hook, "install")
    assert installed.returncode == 0, installed.stdout + installed.stderr

    (patterns / "coaster.tch").write_text(COASTER.replace("= 10", "= 9"))
    refused = run(patterns, git, "git", "commit", "--all", "--message", "Wrong")
    said = refused.stdout + refused.stderr
    assert refused.returncode == 1, said
    assert "coaster.tch:5:20: error[stated-total]: row 1 makes 10 stitches" in said

    (patterns / "coaster.tch").write_text(COASTER.replace("sc to end", "sc  to end"))
    tidied = run(patterns, git, "git", "commit", "--all", "--message", "Not tidy")
    assert tidied.returncode == 1, tidied.stdout + tidied.stderr
    assert (patterns / "coaster.tch").read_text() == COASTER

    (patterns / "coaster.tch").write_text(COASTER + "row 2: sc to end = 10\n")
    taken = run(patterns, git, "git", "commit", "--all", "--message", "Right")
    assert taken.returncode == 0, taken.stdout + taken.stderr
