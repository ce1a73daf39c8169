"""Patterns on the disk: read from a file or standard input, and from the folder of the pattern for `use`.

Whatever keeps a file from being read is an OSError whose words are for the maker, without the file's name.
"""

from __future__ import annotations

import os
import re
import sys
from pathlib import Path, PurePosixPath, PureWindowsPath

from ..lang.parser import LONGEST_FILE
from ..lang.source import Source

STANDARD_INPUT = "-"

MOST_INCLUDED = 32
"""Files that one pattern may bring in."""

_USE = re.compile(r"^use(?!\w)", re.IGNORECASE | re.MULTILINE)


def read(name: str) -> Source:
    """Return the text of the file `name`, or of standard input for `-`. Raises OSError as the module says."""
    if name == STANDARD_INPUT:
        return Source("standard input", _text(sys.stdin.buffer.read(LONGEST_FILE + 1)))
    return Source(shown(name), _content(Path(name)))


def shown(name: str) -> str:
    """Return the name of a file as it can be printed: names that are no Unicode have marks in them."""
    return os.fsencode(name).decode("utf-8", "replace")


def why(error: OSError) -> str:
    """Return in a maker's words why a file could not be read or written."""
    match error:
        case FileNotFoundError():
            return "there is no such file"
        case IsADirectoryError():
            return "it is a folder"
        case NotADirectoryError():
            return "a part of its path is a file, not a folder"
        case PermissionError():
            return "permission is denied"
        case _:
            words = error.strerror or str(error) or "it can't be used"
            return words[:1].lower() + words[1:]


class Included:
    """Reads the files that one pattern brings in by `use`: from its own folder or below, so many at most."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._read: list[Path] = []

    @property
    def paths(self) -> tuple[Path, ...]:
        """Every file asked for so far that may be read, found or not."""
        return tuple(self._read)

    def __call__(self, path: str) -> Source:
        """Return the file that `use "path"` names. Raises OSError as the module says."""
        place = _within(self._folder, path)
        if len(self._read) == MOST_INCLUDED:
            raise OSError(f"a pattern can bring in {MOST_INCLUDED} files at most")
        self._read.append(place)
        if place.exists() and not place.is_file():
            raise OSError("it is a folder" if place.is_dir() else "it is no file")
        text = self.text_of(place)
        source = Source(shown(str(place)), text)
        if nested := _USE.search(text):
            line = source.line_number(nested.start())
            raise OSError(f"it has a `use` of its own, in line {line}, and only the pattern itself may")
        return source

    def text_of(self, path: Path) -> str:
        """Return what stands in a file that may be read. Raises OSError as the module says."""
        return _content(path)


def beside(folder: Path, name: str) -> bytes:
    """Return the content of a file in a pattern's folder or below. Raises OSError as the module says."""
    place = _within(folder, name)
    try:
        return place.read_bytes()
    except OSError as error:
        raise OSError(why(error)) from error


def _within(folder: Path, name: str) -> Path:
    place = folder / _inside(name)
    if not place.resolve().is_relative_to(folder.resolve()):
        raise OSError("it lies outside the pattern's folder")
    return place


def _inside(path: str) -> PurePosixPath:
    pure = PurePosixPath(path)
    if not path.strip() or path != path.strip() or "\0" in path:
        raise OSError("this is no file's name")
    if "\\" in path:
        raise OSError("folders and files are divided by `/`")
    if pure.is_absolute() or PureWindowsPath(path).drive or ".." in pure.parts:
        raise OSError("it lies outside the pattern's folder")
    return pure


def _content(path: Path) -> str:
    try:
        with path.open("rb") as file:
            content = file.read(LONGEST_FILE + 1)
    except OSError as error:
        raise OSError(why(error)) from error
    except ValueError as error:
        raise OSError("this is no file's name") from error
    return _text(content)


def _text(content: bytes) -> str:
    if len(content) > LONGEST_FILE:
        raise OSError("it is longer than 16 MiB")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise OSError(
            f"it is not UTF-8 text: byte 0x{content[error.start]:02X} in line {line}, "
            f"{error.start} bytes from the start, begins no character"
        ) from error
