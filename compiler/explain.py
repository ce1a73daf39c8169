"""The longer explanation of each diagnostic, read from its page in `lang/explanations`.

A page is Markdown: `# name: title`, paragraphs, and a fenced example under each of `## Wrong` and `## Right`.
Both examples are whole patterns; the wrong one raises that diagnostic alone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from importlib.resources import files
from importlib.resources.abc import Traversable

from .. import lang

PAGE = re.compile(
    r"""
    \#\ (?P<name>[a-z0-9-]+):\ (?P<title>[^\n]+)\n+
    (?P<text>.+?)\n+
    \#\#\ Wrong\n+```[^\n]*\n(?P<wrong>.+?)```\n+
    \#\#\ Right\n+```[^\n]*\n(?P<right>.+?)```\s*
    """,
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Explanation:
    """What a diagnostic means, why it matters to a maker, and how to mend it."""

    name: str
    title: str
    text: str
    """Paragraphs with an empty line between them."""
    wrong: str
    """A whole pattern that raises this diagnostic and no other."""
    right: str
    """The same pattern, mended."""


def names() -> tuple[str, ...]:
    """Return the names of all diagnostics that have an explanation, in alphabetical order."""
    pages = (page.name for page in _folder().iterdir())
    return tuple(sorted(name.removesuffix(".md") for name in pages if name.endswith(".md")))


def explanation(name: str) -> Explanation | None:
    """Return the explanation of the diagnostic `name`, or None if there is none."""
    if name not in names():
        return None
    return read(_folder().joinpath(f"{name}.md").read_text(encoding="utf-8"))


def read(page: str) -> Explanation:
    """Return the explanation that `page` holds. Raises ValueError if it has not the shape of a page."""
    found = PAGE.fullmatch(page)
    if not found:
        raise ValueError("a page has `# name: title`, text, and examples under `## Wrong` and `## Right`")
    return Explanation(**found.groupdict())


def printed(explanation: Explanation) -> str:
    """Return the explanation as plain text, without a final line break."""
    parts = (
        f"{explanation.name}: {explanation.title}",
        explanation.text,
        "Wrong:",
        _indented(explanation.wrong),
        "Right:",
        _indented(explanation.right),
    )
    return "\n\n".join(parts)


def _indented(example: str) -> str:
    return "\n".join(f"    {line}".rstrip() for line in example.splitlines())


def _folder() -> Traversable:
    return files(lang).joinpath("explanations")
