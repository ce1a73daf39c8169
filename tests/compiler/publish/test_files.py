"""A published file is there whole, or is the old one."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest
from turnchain.compiler.publish.files import write_whole


def test_a_new_file(tmp_path: Path) -> None:
    write_whole(tmp_path / "hat.txt", "Haube für Großmutter 🧶\nRow 1\n".encode())
    assert (tmp_path / "hat.txt").read_bytes() == "Haube für Großmutter 🧶\nRow 1\n".encode()
    assert names(tmp_path) == ["hat.txt"]


def test_a_new_file_may_be_read_by_those_whom_the_system_lets(tmp_path: Path) -> None:
    write_whole(tmp_path / "hat.txt", b"hat")
    (tmp_path / "other.txt").write_text("made the usual way")
    assert mode(tmp_path / "hat.txt") == mode(tmp_path / "other.txt")


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such permissions")
def test_an_old_file_keeps_its_permissions(tmp_path: Path) -> None:
    old = tmp_path / "hat.txt"
    old.write_text("old")
    old.chmod(0o640)
    write_whole(old, b"new")
    assert (old.read_text(), mode(old)) == ("new", 0o640)


@pytest.mark.skipif(os.name == "nt", reason="links need a right there")
def test_a_linked_file_stays_linked(tmp_path: Path) -> None:
    (tmp_path / "site").mkdir()
    link = tmp_path / "hat.txt"
    link.symlink_to(tmp_path / "site" / "hat.txt")
    for text in ("first", "second"):
        write_whole(link, text.encode())
        assert link.is_symlink()
        assert (tmp_path / "site" / "hat.txt").read_text() == text


@pytest.mark.skipif(not Path("/dev/null").is_char_device(), reason="no such device")
def test_a_device_is_not_replaced() -> None:
    write_whole(Path("/dev/null"), b"hat")
    assert Path("/dev/null").is_char_device()


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_failing_disk_leaves_the_old_file_and_nothing_else(
    step: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    (tmp_path / "hat.txt").write_text("old")
    monkeypatch.setattr(os, step, full)
    with pytest.raises(OSError, match="No space left"):
        write_whole(tmp_path / "hat.txt", b"new")
    assert (tmp_path / "hat.txt").read_text() == "old"
    assert names(tmp_path) == ["hat.txt"]


def test_a_missing_folder_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_whole(tmp_path / "nowhere" / "hat.txt", b"hat")


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)
