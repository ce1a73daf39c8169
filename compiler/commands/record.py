"""What was published of a folder, and of what, in a file beside its pages.

Its names are told from the folders of patterns and of pages: both may be moved, and looked at from anywhere.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass, replace
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path
from typing import Any

from ..publish.index import IndexEntry
from .publish import Choices

RECORD = ".turnchain.json"


@dataclass(frozen=True, slots=True)
class Published:
    """What is known of a pattern that was published."""

    digest: str
    """Of all that its pages depend on."""
    sources: tuple[str, ...]
    """The files besides its own that went into it, from the folder of patterns."""
    outputs: tuple[str, ...]
    """What was written, from the folder of pages."""
    entry: IndexEntry


def is_same(before: Published, into: Path, now: str) -> bool:
    """Tell whether all that was written stands in the folder `into`, made of what is there now."""
    return before.digest == now and all((into / each).is_file() for each in before.outputs)


def digest(folder: Path, names: Iterable[str], choices: Choices) -> str:
    """Return the digest of the files `names` in the folder of patterns and of all that a publisher chose.

    A post keeps the day on which it was written unless another is asked for.
    """
    chosen = replace(choices, folder=None, templates=None)
    made = sha256(f"{version('turnchain')} {chosen}".encode("utf-8", "surrogateescape"))
    for name, path in (*((name, folder / name) for name in names), *_own(choices)):
        content = path.read_bytes() if path.is_file() else b""
        made.update(f"{name} {len(content)} ".encode("utf-8", "surrogateescape"))
        made.update(content)
    return made.hexdigest()


def _own(choices: Choices) -> Iterator[tuple[str, Path]]:
    """Yield the publisher's own files that go into every page, by name."""
    if choices.templates is not None:
        folder = Path(choices.templates)
        yield from ((each.relative_to(folder).as_posix(), each) for each in sorted(folder.rglob("*")))
    if choices.front_matter is not None and choices.front_matter.endswith(".toml"):
        yield choices.front_matter, Path(choices.front_matter)


def recorded(done: Iterable[tuple[str, Published]]) -> bytes:
    """Return the file's content for the patterns that were published."""
    return json.dumps({key: asdict(each) for key, each in done}, ensure_ascii=False, indent=1).encode()


def read_record(into: Path) -> dict[str, Published]:
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
