"""Where a page finds a picture."""

from __future__ import annotations

from urllib.parse import quote

from ..document import Picture


def address(picture: Picture) -> str:
    """The picture itself where it was put into the page; else its file, as an address beside the page.

    Nothing that an author writes can lead to another host, or become a script.
    """
    if picture.file.startswith("data:image/"):
        return picture.file
    return quote(picture.file.replace("\\", "/").lstrip("/"), safe="/")
