"""Settings of all tests, and the browser that some of them open pages in."""

from hypothesis import settings

from .chromium import browser, heard, page

__all__ = ["browser", "heard", "page"]

# A test says what is right, never how long it takes: that is measured in `bench`.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
