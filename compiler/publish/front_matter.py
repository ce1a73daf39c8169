"""What site generators read at the top of a post: its title, day, maker, in the words of each."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from html import escape
from pathlib import Path

from ..document import Document

FORMS = ("yaml", "toml", "lines")
CHARTS = ("indented", "fenced")
_FENCES = {"yaml": "---", "toml": "+++"}
_FIELDS = ("title", "by", "date", "description", "slug", "language", "picture")


@dataclass(frozen=True, slots=True)
class FrontMatter:
    """How one generator wants it."""

    form: str
    """One of `FORMS`."""
    heading: bool
    """Whether the title stands in the post too."""
    file: str
    """The post's file name, with `{name}` and `{date}`."""
    keys: Mapping[str, str]
    """The generator's key for each thing that is told."""
    charts: str = "indented"
    """One of `CHARTS`: lines that stand as they are, set in by four or between lines of three accents."""

    def file_name(self, name: str, date: str) -> str:
        """The name of the post of a pattern whose file is called `name`."""
        return self.file.replace("{date}", date).replace("{name}", name)

    def written(self, document: Document, date: str) -> str:
        """The lines above the post, with the empty line that ends them."""
        lines = [self._line(key, value) for key, value in self._told(document, date)]
        fence = [_FENCES[self.form]] if self.form in _FENCES else []
        return "\n".join([*fence, *lines, *fence, "", ""])

    def _told(self, document: Document, date: str) -> Iterator[tuple[str, str]]:
        known = {
            "title": document.title,
            "by": document.by,
            "date": date,
            "description": " ".join(document.about),
            "slug": document.slug,
            "language": document.language,
            "picture": document.pictures[0].file if document.pictures else "",
        }
        for what, key in self.keys.items():
            if known[what]:
                yield key, known[what]

    def _line(self, key: str, value: str) -> str:
        # Generators of lines hand their values to pages as they are, and so as HTML.
        if self.form == "lines":
            return f"{key}: {escape(value)}"
        return f"{key}: {_quoted(value)}" if self.form == "yaml" else f"{key} = {_quoted(value)}"


def _quoted(value: str) -> str:
    """The value as a string of JSON, which is one of YAML 1.2 and of TOML too; a date stands by itself."""
    if len(value) == 10 and value[4] == value[7] == "-" and value.replace("-", "").isdigit():
        return value
    return json.dumps(value, ensure_ascii=False).replace("{", "\\u007b").replace("\x7f", "\\u007f")


@cache
def generators() -> Mapping[str, FrontMatter]:
    """Every generator that has its table in `front_matter.toml`, by name."""
    return _read((Path(__file__).with_name("front_matter.toml")).read_text("utf-8"))


def own(text: str) -> FrontMatter:
    """A table of the publisher's own, a TOML file that has one table as `front_matter.toml` has them.

    Raises ValueError with words for the maker.
    """
    tables = _read(text)
    if len(tables) != 1:
        raise ValueError(f"it has {len(tables)} tables, and one is needed: [mysite], and its keys under it")
    return next(iter(tables.values()))


def _read(text: str) -> Mapping[str, FrontMatter]:
    return {name: _table(name, table) for name, table in tomllib.loads(text).items()}


def _table(name: str, table: object) -> FrontMatter:
    if not isinstance(table, dict):
        raise ValueError(f"`{name}` stands outside a table: begin with [mysite]")
    form, keys = table.get("form", "yaml"), table.get("keys", {})
    charts = table.get("charts", "indented")
    file, heading = table.get("file", "{name}.md"), table.get("heading", False)
    if form not in FORMS:
        raise ValueError(f"its form is `{form}`, and can be {', '.join(FORMS)}")
    if charts not in CHARTS:
        raise ValueError(f"its charts are `{charts}`, and can be {', '.join(CHARTS)}")
    if not isinstance(keys, dict) or not all(isinstance(key, str) and key for key in keys.values()):
        raise ValueError('its keys are words: keys = { title = "headline" }')
    if unknown := [what for what in keys if what not in _FIELDS]:
        raise ValueError(f"it asks for `{unknown[0]}`; there are {', '.join(_FIELDS)}")
    if not isinstance(file, str) or "/" in file or "\\" in file or "{name}" not in file:
        raise ValueError("its file is a name with {name} in it, and no folder")
    return FrontMatter(form, bool(heading), file, keys, charts)
