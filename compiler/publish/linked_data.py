"""A page's words again for machines that read schema.org: https://schema.org/HowTo.

Nothing stands here that the page does not show.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator

from ..document import Document, RowText, Section
from .layout import Layout

Json = dict[str, object]

TIME = re.compile(r"(?:about )?(?P<many>\d+) ?(?P<unit>minutes?|mins?|hours?|h|days?|weeks?)", re.IGNORECASE)
_TYPES = {"supply": "HowToSupply", "tool": "HowToTool"}


def linked_data(document: Document, layout: Layout) -> str:
    """The pattern as JSON-LD that may stand in a script element: nothing in it can end one."""
    about = [line for line in document.about if line]
    data: Json = {
        "@context": "https://schema.org",
        "@type": "HowTo",
        "name": document.title,
        "inLanguage": document.language,
        "description": " ".join(about),
        "url": layout.address,
        "image": layout.picture,
        "author": {"@type": "Person", "name": document.by} if document.by else None,
        "yield": _made(document),
        "totalTime": _duration(document.time),
        **{
            kind: [
                {"@type": name, "name": f"{term.term}: {term.meaning}"}
                for term in document.materials
                if term.kind == kind
            ]
            for kind, name in _TYPES.items()
        },
        "step": [_section(section, document.slug) for section in document.sections],
    }
    told = {key: value for key, value in data.items() if value}
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).replace("<", "\\u003c")


def _made(document: Document) -> str:
    """What comes of it: the only piece, or the whole that several make."""
    return document.sections[0].title if len(document.sections) == 1 else document.title


def _duration(time: str) -> str:
    """Return a time such as `12 hours` as ISO 8601 has it; empty where it is not one number of one unit."""
    found = TIME.fullmatch(time.strip().rstrip("."))
    if found is None:
        return ""
    unit = found["unit"][0].upper()
    return f"P{found['many']}{unit}" if unit in "DW" else f"PT{found['many']}{unit}"


def _section(section: Section, slug: str) -> Json:
    return {
        "@type": "HowToSection",
        "name": section.title,
        "itemListElement": list(_steps(section, slug)),
    }


def _steps(section: Section, slug: str) -> Iterator[Json]:
    for entry in section.entries:
        if isinstance(entry, RowText):
            text = " ".join(filter(None, (entry.text, entry.count)))
            url = f"#{slug}-{entry.anchor}"
            yield {"@type": "HowToStep", "name": entry.label, "text": text, "url": url}
