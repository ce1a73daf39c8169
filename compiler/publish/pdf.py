"""A page as a PDF to print: tagged for screen readers (PDF/UA), on A4 or Letter paper. Needs WeasyPrint."""

from __future__ import annotations

from .layout import Layout


class NotInstalled(Exception):  # noqa: N818 - says what is missing
    """What makes PDFs is not there; the message says how to get it."""


def printed(page: str, layout: Layout) -> bytes:
    """The HTML page on sheets of `A4` or `Letter`. Nothing is fetched for it."""
    try:
        from weasyprint import CSS, HTML  # type: ignore[import-not-found,import-untyped,unused-ignore]
        from weasyprint.urls import URLFetcher  # type: ignore[import-not-found,import-untyped,unused-ignore]
    except (ImportError, OSError) as error:
        raise NotInstalled(
            "a PDF needs WeasyPrint, which is not installed: `pip install 'turnchain[pdf]'`; "
            "or print the page from your browser"
        ) from error
    import logging

    # It remarks on each rule of the style that is for screens alone.
    logging.getLogger("weasyprint").setLevel(logging.ERROR)
    sheets = CSS(string=f"@page {{ size: {layout.paper} }}")
    inside = URLFetcher(allowed_protocols=("data",))
    made = HTML(string=page, url_fetcher=inside).write_pdf(stylesheets=[sheets], pdf_variant="pdf/ua-1")
    assert isinstance(made, bytes)
    return made
