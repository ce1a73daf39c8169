"""Pictures put into the page itself, so that it can be sent and kept as one file."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Callable
from dataclasses import replace

from ..document import Document, Picture, Section

LARGEST = 16 * 2**20
"""Bytes of a picture; larger ones would make a page that no phone opens."""

_KINDS = (
    (b"\xff\xd8\xff", 0, "jpeg"),
    (b"\x89PNG\r\n\x1a\n", 0, "png"),
    (b"GIF8", 0, "gif"),
    (b"WEBP", 8, "webp"),
    (b"ftypavif", 4, "avif"),
)
"""How a file of each kind begins: the bytes, where they stand, and the kind's name in `image/...`.

As in the WHATWG's MIME Sniffing Standard, section 6.1, and for AVIF in its own specification, section 9.
"""


def embedded(document: Document, read: Callable[[str], bytes]) -> Document:
    """The document with the content of each picture for its file.

    `read` returns the content of a named file. Raises OSError with words for the maker where it does, and for
    what is no picture or too large.
    """

    def inside(picture: Picture) -> Picture:
        try:
            return replace(picture, file=_data_url(read(picture.file)))
        except OSError as error:
            raise OSError(f"{picture.file}, a picture, can't be put into the page: {error}") from error

    def section(one: Section) -> Section:
        entries = (inside(entry) if isinstance(entry, Picture) else entry for entry in one.entries)
        return replace(one, entries=tuple(entries))

    return replace(
        document,
        pictures=tuple(map(inside, document.pictures)),
        sections=tuple(map(section, document.sections)),
    )


def _data_url(content: bytes) -> str:
    if len(content) > LARGEST:
        raise OSError(f"it is larger than {LARGEST // 2**20} MiB")
    for mark, at, kind in _KINDS:
        if content.startswith(mark, at):
            return f"data:image/{kind};base64,{b64encode(content).decode()}"
    raise OSError("it is no JPEG, PNG, GIF, WebP or AVIF picture")
