"""The document for programs: versioned JSON, described by `document.schema.json` beside this module.

Fields may be added within a version; a field that changes its meaning or goes raises the version.
"""

from __future__ import annotations

import json
from dataclasses import asdict

from ..document import Document
from .layout import Layout

VERSION = 1


def render(document: Document, _: Layout) -> str:
    """The words of the pattern, in their order, with nothing left out."""
    return json.dumps({"version": VERSION, **asdict(document)}, ensure_ascii=False, indent=2) + "\n"
