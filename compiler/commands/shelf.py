"""`turnchain publish DIR`: every pattern of a folder, what did not change left as it is, and an index of all.

What was published, and of what, stands in a file beside the pages. A pattern whose words, pictures and what
it brings in are those of the last time is not read again: a folder costs what was changed in it. Pages that
go to another folder take the pictures along that the index and posts point to.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from .. import files
from ..document import pictures
from ..publish import FORMATS
from ..publish.addresses import beside
from ..publish.files import write_whole
from ..publish.index import IndexEntry, render_index
from . import CLEAN, FAULTY, WRONG_USE, Outcome
from .loading import has_warnings, load, report, unreadable
from .publish import Choices, WrongUse, outputs_of, refuse_wrong, titled, write
from .record import RECORD, Published, digest, is_same, read_record, recorded

INDEX = "index.html"
PAGES = ("html", "pdf")
"""The formats that an index leads to; where there are only posts, a site makes one of its own."""
QUIET = 1.0
"""Seconds that pass before a folder's progress is shown."""

Tell = Callable[[int, int, str], None]
"""Shows progress: how many patterns are done, of how many, and the one at hand."""


def publish_folder(name: str, choices: Choices, *, colour: bool = False, tell: Tell | None = None) -> Outcome:
    """Publish the patterns in the folder `name` and below; a broken one leaves its last page standing."""
    folder = Path(name)
    into = folder if choices.folder is None else Path(choices.folder)
    if choices.folder == "-":
        return Outcome(WRONG_USE, err="turnchain: one pattern at a time can go to standard output")
    try:
        refuse_wrong(choices)
    except WrongUse as wrong:
        return Outcome(WRONG_USE, err=f"turnchain: {wrong}")
    patterns = sorted(path for path in folder.rglob("*.tch") if path.is_file())
    if not patterns:
        return Outcome(WRONG_USE, err=f"turnchain: there is no pattern in {files.shown(name)}")
    run = _Run(choices, into, folder, colour, read_record(into))
    began, shown = time.monotonic(), False
    for done, path in enumerate(patterns):
        if tell is not None and time.monotonic() - began > QUIET:
            shown = True
            tell(done, len(patterns), files.shown(str(path)))
        run.publish(path)
    if tell is not None and shown:
        tell(len(patterns), len(patterns), "")
    return run.finished()


@dataclass(slots=True)
class _Run:
    """A folder on its way."""

    choices: Choices
    into: Path
    folder: Path
    colour: bool
    known: Mapping[str, Published]
    """What was published the last time, by the pattern's path from the folder."""
    status: int = CLEAN
    seen: tuple[str, ...] = ()
    same: int = 0
    broken: int = 0
    said: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    done: tuple[tuple[str, Published], ...] = ()

    def publish(self, path: Path) -> None:
        key = path.relative_to(self.folder).as_posix()
        before = self.known.get(key)
        self.seen += (key,)
        choices = replace(
            self.choices, folder=str((self.into / key).parent), site=_site(self.choices.site, key)
        )
        try:
            if before is not None and is_same(before, self.into, self._digest(path, before.sources)):
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
        written = {kind: self._from_pages(output) for kind, output in outputs.items()}
        if INDEX in written.values():
            name = files.shown(str(path))
            raise WrongUse(
                f"{name} would be written where the index of the folder stands: give it another name"
            )
        made = titled(loaded, choices)
        embedded = all(FORMATS[kind].stands_alone for kind in outputs)
        places = [
            self._brought(loaded.folder, picture.file)
            for picture in (made.pictures[:1] if embedded else pictures(made))
        ]
        self.said += tuple(f"wrote {files.shown(str(each))}" for each in write(loaded, outputs, choices))
        used = (*loaded.included, *(loaded.folder / picture.file for picture in pictures(made)))
        sources = tuple(os.path.relpath(each, self.folder) for each in used)
        first = made.pictures[0] if made.pictures else None
        entry = IndexEntry(
            made.title,
            next((written[kind] for kind in PAGES if kind in written), ""),
            places[0] if first else "",
            first.words if first else "",
            made.about,
            made.sizes,
            made.language,
        )
        copies = () if self._in_place() else dict.fromkeys(filter(None, places))
        kept = (*written.values(), *copies)
        self.done += ((key, Published(self._digest(path, sources), sources, kept, entry)),)

    def _brought(self, folder: Path, file: str) -> str:
        """Bring a picture, if it is there, to where pages look for it, and return its path from the index.

        Raises WrongUse where another file has its place.
        """
        source = folder / file
        place = self.into / source.relative_to(self.folder)
        if not source.is_file():
            return ""
        name = self._from_pages(place)
        try:
            content = files.beside(folder, file)
            if place.is_file() and place.read_bytes() != content and name not in self._outputs():
                there = files.shown(str(place))
                raise WrongUse(
                    f"{there} is another picture than {files.shown(str(source))}; it was left as it is"
                )
            place.parent.mkdir(parents=True, exist_ok=True)
            self.said += tuple(_written(place, content))
        except OSError as error:
            why = files.why(error)
            raise WrongUse(f"{files.shown(str(source))} can't be put beside the pages: {why}") from error
        return name

    def _digest(self, path: Path, sources: Sequence[str]) -> str:
        return digest(self.folder, (path.relative_to(self.folder).as_posix(), *sources), self.choices)

    def _in_place(self) -> bool:
        return self.into.resolve() == self.folder.resolve()

    def _outputs(self) -> set[str]:
        return {output for each in self.known.values() for output in each.outputs}

    def _from_pages(self, path: Path) -> str:
        return Path(os.path.relpath(path, self.into)).as_posix()

    def _fail(self, key: str, before: Published | None, status: int, problem: str = "") -> None:
        self.status = max(self.status, status)
        self.broken += 1
        if problem:
            self.problems += (problem,)
        if before is not None:
            # Its last page stands, and is published anew once the pattern is mended.
            self.done += ((key, replace(before, digest="")),)

    def finished(self) -> Outcome:
        said = [*self.said, *self._left_over()]
        problems = dict.fromkeys(self.problems)
        entries = [each.entry for _, each in self.done if each.entry.page]
        try:
            self.into.mkdir(parents=True, exist_ok=True)
            if entries:
                index = render_index(self.folder.resolve().name, entries)
                said += _written(self.into / INDEX, index.encode())
            _written(self.into / RECORD, recorded(self.done))
        except OSError as error:
            why = f"{files.shown(str(self.into))} can't be written to: {files.why(error)}"
            return Outcome(WRONG_USE, "\n".join(said), "\n".join((*problems, f"turnchain: {why}")))
        many = len(self.seen)
        wrong = f", {self.broken} not published" if self.broken else ""
        said.append(f"{many} pattern{'s' * (many != 1)}, {self.same} unchanged{wrong}")
        return Outcome(self.status, "\n".join(said), "\n".join(problems))

    def _left_over(self) -> Iterator[str]:
        """Tell of files whose pattern is gone; whether they go too is their owner's to say."""
        kept = {output for _, each in self.done for output in each.outputs}
        for key, each in self.known.items():
            for output in each.outputs:
                if key not in self.seen and output not in kept and (self.into / output).is_file():
                    yield f"{files.shown(str(self.into / output))} stays, though {files.shown(key)} is gone"


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
