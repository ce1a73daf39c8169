"""`turnchain publish DIR`: every pattern of a folder, what did not change left as it is, and an index of all.

What was published, and of what, stands in a file beside the pages. A pattern whose words, pictures and what
it brings in are those of the last time is not read again: a folder costs what was changed in it.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any

from .. import files
from ..publish.addresses import beside
from ..publish.files import write_whole
from ..publish.index import IndexEntry, render_index
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import has_warnings, load, report, unreadable
from .publish import Choices, WrongUse, outputs_of, titled, write

RECORD = ".turnchain.json"
INDEX = "index.html"
QUIET = 1.0
"""Seconds that pass before a folder's progress is shown."""

Tell = Callable[[int, int, str], None]
"""Shows progress: how many patterns are done, of how many, and the one at hand."""


@dataclass(frozen=True, slots=True)
class Published:
    """What is known of a pattern that was published."""

    digest: str
    """Of all that its pages depend on."""
    sources: tuple[str, ...]
    """The files besides its own that went into it."""
    outputs: tuple[str, ...]
    entry: IndexEntry


def publish_folder(name: str, choices: Choices, *, colour: bool = False, tell: Tell | None = None) -> Outcome:
    """Publish the patterns in the folder `name` and below; a broken one leaves its last page standing."""
    folder = Path(name)
    into = folder if choices.folder is None else Path(choices.folder)
    if choices.folder == "-":
        return Outcome(WRONG_USE, err="turnchain: one pattern at a time can go to standard output")
    patterns = sorted(path for path in folder.rglob("*.tch") if path.is_file())
    if not patterns:
        return Outcome(WRONG_USE, err=f"turnchain: there is no pattern in {files.shown(name)}")
    known = _read(into)
    run = _Run(choices, into, folder, colour)
    began = time.monotonic()
    for done, path in enumerate(patterns):
        if tell is not None and time.monotonic() - began > QUIET:
            tell(done, len(patterns), files.shown(str(path)))
        run.publish(path, known.get(_key(path, folder)))
    return run.finished(len(patterns))


@dataclass(slots=True)
class _Run:
    """A folder on its way."""

    choices: Choices
    into: Path
    folder: Path
    colour: bool
    status: int = CLEAN
    same: int = 0
    said: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    done: tuple[tuple[str, Published], ...] = ()

    def publish(self, path: Path, before: Published | None) -> None:
        key = _key(path, self.folder)
        choices = replace(
            self.choices, folder=str((self.into / key).parent), site=_site(self.choices.site, key)
        )
        try:
            if before is not None and _is_same(path, before, choices):
                self.same += 1
                self.done += ((key, before),)
                return
            self._write(path, key, before, choices)
        except OSError as error:
            self._fail(key, before, WRONG_USE, unreadable(str(path), error))
        except WrongUse as wrong:
            self._fail(key, before, WRONG_USE, f"turnchain: {wrong}")

    def _write(self, path: Path, key: str, before: Published | None, choices: Choices) -> None:
        loaded = load(str(path))
        if has_warnings(loaded.analysis):
            self.said += (report([loaded.analysis], colour=self.colour),)
        if loaded.analysis.has_errors:
            self._fail(key, before, FAULTY)
            return
        outputs = outputs_of(str(path), choices)
        for written in write(loaded, outputs, choices):
            self.said += (f"wrote {files.shown(str(written))}",)
        made = titled(loaded, choices)
        pictures = [loaded.folder / each.file for each in made.pictures]
        sources = tuple(str(each) for each in (*loaded.included, *pictures) if each.is_file())
        page = next(iter(outputs.values()))
        entry = IndexEntry(
            made.title,
            os.path.relpath(page, self.into),
            os.path.relpath(pictures[0], self.into) if pictures and pictures[0].is_file() else "",
            made.pictures[0].words if made.pictures else "",
            made.about,
            made.sizes,
            made.language,
        )
        written_to = tuple(map(str, outputs.values()))
        digest = _digest(path, sources, choices)
        self.done += ((key, Published(digest, sources, written_to, entry)),)

    def _fail(self, key: str, before: Published | None, status: int, problem: str = "") -> None:
        self.status = max(self.status, status)
        if problem:
            self.problems += (problem,)
        if before is not None:
            # Its last page stands, and is published anew once the pattern is mended.
            self.done += ((key, replace(before, digest="")),)

    def finished(self, many: int) -> Outcome:
        said = [*self.said]
        try:
            self.into.mkdir(parents=True, exist_ok=True)
            index = render_index(self.folder.resolve().name, [each.entry for _, each in self.done])
            said += _written(self.into / INDEX, index.encode())
            record = {key: asdict(each) for key, each in self.done}
            _written(self.into / RECORD, json.dumps(record, ensure_ascii=False, indent=1).encode())
        except OSError as error:
            why = f"{files.shown(str(self.into))} can't be written to: {files.why(error)}"
            return Outcome(WRONG_USE, "\n".join(said), "\n".join((*self.problems, f"turnchain: {why}")))
        said.append(f"{many} pattern{'s' * (many != 1)}, {self.same} unchanged")
        return Outcome(self.status, "\n".join(said), "\n".join(self.problems))


def _written(path: Path, content: bytes) -> list[str]:
    """Write a file where its content is new, and return a line that says so."""
    if path.is_file() and path.read_bytes() == content:
        return []
    write_whole(path, content)
    return [f"wrote {files.shown(str(path))}"]


def _site(site: str | None, key: str) -> str | None:
    """Return the address of the folder that a pattern's page will stand in."""
    if site is None or "/" not in key:
        return site
    return f"{site.rstrip('/')}/{beside(key.rpartition('/')[0])}/"


def _key(path: Path, folder: Path) -> str:
    return path.relative_to(folder).as_posix()


def _is_same(path: Path, before: Published, choices: Choices) -> bool:
    return all(Path(each).is_file() for each in before.outputs) and before.digest == _digest(
        path, before.sources, choices
    )


def _digest(path: Path, sources: Iterable[str], choices: Choices) -> str:
    # A post keeps the day on which it was written unless another is asked for.
    made = sha256(f"{version('turnchain')} {choices}".encode())
    own = sorted(Path(choices.templates).iterdir()) if choices.templates is not None else []
    front = [choices.front_matter] if choices.front_matter and choices.front_matter.endswith(".toml") else []
    for each in (path, *map(Path, sources), *own, *map(Path, front)):
        content = each.read_bytes() if each.is_file() else b""
        made.update(f"{each} {len(content)} ".encode("utf-8", "surrogateescape"))
        made.update(content)
    return made.hexdigest()


def _read(into: Path) -> dict[str, Published]:
    """Return what was published the last time; nothing if that is not known."""
    try:
        record = json.loads((into / RECORD).read_bytes())
        return dict(_known(record))
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return {}


def _known(record: Any) -> Iterator[tuple[str, Published]]:
    for key, each in record.items():
        told: dict[str, Any] = {
            name: tuple(value) if isinstance(value, list) else value for name, value in each["entry"].items()
        }
        sources, outputs = tuple(each["sources"]), tuple(each["outputs"])
        yield key, Published(str(each["digest"]), sources, outputs, IndexEntry(**told))
