"""Where a page finds a picture."""

from __future__ import annotations

from urllib.parse import quote, urljoin, urlsplit

from ..document import Picture


def address(picture: Picture) -> str:
    """The picture itself where it was put into the page; else its file, as an address beside the page.

    Nothing that an author writes can lead to another host, or become a script.
    """
    if picture.file.startswith("data:image/"):
        return picture.file
    return beside(picture.file)


def beside(file: str) -> str:
    """The address of a file, from the page in whose folder it is."""
    return quote(file.replace("\\", "/").lstrip("/"), safe="/")


def site_folder(site: str) -> str:
    """The address of a folder of a site, as it was typed, with the slash that belongs to it.

    Raises ValueError for what is no whole address on the web.
    """
    parts = urlsplit(site)
    if parts.scheme not in ("http", "https") or not parts.hostname or parts.query or parts.fragment:
        raise ValueError(f"{site} is no whole address of a folder")
    if not site.isascii() or not site.isprintable() or any(mark in site for mark in ' "<>\\^`{|}'):
        raise ValueError(f"{site} has characters that no address can have")
    return site if site.endswith("/") else f"{site}/"


def on_site(site: str, file: str) -> str:
    """The whole address of a file that stands in a folder of a site, or from there."""
    return urljoin(site, beside(file))
