"""`turnchain watch`: a pattern checked and published at every save, and a preview that keeps up with it.

The preview is a page of its own around the published one, served to this computer alone. What is published
holds nothing of it.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Lock, Thread

from . import files
from .commands.loading import has_warnings, load, report, rows_said, unreadable
from .commands.publish import Choices, WrongUse, outputs_of, published, write

LOOPBACK = "127.0.0.1"

PAUSE = 0.3
"""Seconds from one look at the files to the next."""

SETTLING = 0.05
"""Seconds that a file must stay the same before it is read: a save may take several steps."""

Stamp = tuple[int, int, int] | None
"""What tells one state of a file from another; None for a file that is not there."""


# ---- saves -------------------------------------------------------------------------------------------------


def stamps(paths: Iterable[Path]) -> dict[Path, Stamp]:
    """Return the states of files."""
    return {path: _stamp(path) for path in paths}


def _stamp(path: Path) -> Stamp:
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size, found.st_ino


def saves(source: Path, also: Callable[[], Iterable[Path]], pause: Callable[[float], None]) -> Iterator[None]:
    """Yield once at the beginning, and again whenever `source` or one of the files beside it was saved.

    While an editor has taken the source away to put a new one in its place, nothing is yielded.
    """
    last: dict[Path, Stamp] | None = None
    while True:
        now = stamps((source, *also()))
        if now[source] is not None and now != last:
            pause(SETTLING)
            if stamps((source, *also())) != now:
                continue
            yield None
            # What the yield had read may name other files; one that was saved meanwhile is not up to date.
            last = {
                **stamps((source, *also())),
                **{path: now[path] for path in (source, *also()) if path in now},
            }
            continue
        pause(PAUSE)


# ---- the preview -------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Shown:
    """What the preview shows."""

    page: str = ""
    """The last page that could be published; empty before there is one."""
    report: str = ""
    """What is wrong with the pattern now; empty if all is well."""
    version: int = 0


SCRIPT = """
const report = document.querySelector("pre"), frame = document.querySelector("iframe");
let version = -1, page = -1;
function showAnew() {
  const shown = frame.contentWindow, across = shown.scrollX, down = shown.scrollY;
  const chosen = Array.from(shown.document.querySelectorAll("input:checked"), (each) => each.id);
  const open = Array.from(shown.document.querySelectorAll("details"), (each) => each.open);
  frame.addEventListener("load", () => {
    const again = frame.contentWindow;
    for (const each of chosen) {
      const input = again.document.getElementById(each);
      if (input) input.checked = true;
    }
    again.document.querySelectorAll("details").forEach((each, at) => {
      if (at in open) each.open = open[at];
    });
    again.scrollTo({left: across, top: down, behavior: "instant"});
  }, {once: true});
  shown.location.reload();
}
async function look() {
  try {
    const state = await (await fetch("/state", {cache: "no-store"})).json();
    if (state.version !== version) {
      version = state.version;
      report.textContent = state.report;
      report.hidden = !state.report;
      if (state.page !== page) {
        page = state.page;
        showAnew();
      }
    }
    document.title = state.title;
  } catch {
    document.title = "Turnchain: not watching";
  }
  setTimeout(look, 400);
}
look();
"""

STYLE = """
html, body { height: 100%; margin: 0; }
body { display: flex; flex-direction: column; color-scheme: light dark; }
pre { flex: none; margin: 0; padding: 1rem; max-height: 45%; overflow: auto; border-bottom: 3px solid #b3261e;
  font: 14px/1.45 ui-monospace, monospace; }
iframe { flex: 1; width: 100%; border: 0; }
"""

SHELL = f"""<!DOCTYPE html>
<html lang="en">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Turnchain</title>
<link rel="icon" href="data:,">
<style>{STYLE}</style>
<pre role="status" hidden></pre>
<iframe src="/page" title="The published pattern" sandbox="allow-same-origin"></iframe>
<script>{SCRIPT}</script>
"""

EMPTY = '<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>Turnchain</title><p>Nothing yet.'


ELSEWHERE = "frame-ancestors 'self'"
"""What no page of another site may do with a page of the preview: show it within its own."""

ONLY_HERE = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data:; "
    f"connect-src 'self'; frame-src 'self'; {ELSEWHERE}"
)
"""What the page around the published one may ask for: nothing but the preview itself."""


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, request: object, client_address: object) -> None:
        """Say nothing where a browser went away before it had its answer."""


class Preview:
    """A web page on this computer that shows a pattern as it is now."""

    def __init__(self, title: str, port: int = 0) -> None:
        """Open a port, any free one for 0. Raises OSError if it can't be had."""
        self._title = title
        self._lock = Lock()
        self._shown = Shown()
        self._pages = 0
        self._server = _Server((LOOPBACK, port), _handler(self))
        self.port: int = self._server.server_address[1]
        # A short poll, so that stopping does not have to wait for it.
        self._thread = Thread(target=self._server.serve_forever, args=(0.05,), daemon=True)

    @property
    def address(self) -> str:
        """Where to look at it."""
        return f"http://{LOOPBACK}:{self.port}/"

    def __enter__(self) -> Preview:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()

    def show(self, page: str | None, report: str) -> None:
        """Show a report above a page; None keeps the last good page."""
        with self._lock:
            if page is not None and page != self._shown.page:
                self._pages += 1
            kept = self._shown.page if page is None else page
            self._shown = Shown(kept, report, self._shown.version + 1)

    def answer(self, path: str) -> tuple[str, str] | None:
        """Return the type and text of what stands at `path`, or None."""
        with self._lock:
            shown, pages = self._shown, self._pages
        match path:
            case "/":
                return "text/html", SHELL
            case "/page":
                return "text/html", shown.page or EMPTY
            case "/state":
                state = {
                    "version": shown.version,
                    "page": pages,
                    "report": shown.report,
                    "title": f"{'✗ ' if shown.report else ''}{self._title}",
                }
                return "application/json", json.dumps(state)
            case _:
                return None


def _handler(preview: Preview) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            # Another site may point a name of its own at this address: it gets nothing.
            hosts = {f"{host}:{preview.port}" for host in (LOOPBACK, "localhost")}
            found = preview.answer(self.path) if self.headers.get("Host", "").lower() in hosts else None
            if found is None:
                self.send_error(404)
                return
            kind, text = found
            content = text.encode()
            self.send_response(200)
            self.send_header("Content-Type", f"{kind}; charset=utf-8")
            self.send_header("Content-Length", str(len(content)))
            self.send_header("Cache-Control", "no-store")
            self.send_header("X-Content-Type-Options", "nosniff")
            self.send_header("Cross-Origin-Resource-Policy", "same-origin")
            self.send_header("Content-Security-Policy", ONLY_HERE if self.path == "/" else ELSEWHERE)
            self.end_headers()
            self.wfile.write(content)

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing of each request."""

    return Handler


# ---- watching ----------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Watch:
    """A pattern being watched."""

    name: str
    choices: Choices
    preview: Preview
    tell: Callable[[str], None]
    """Prints lines for the maker."""
    colour: bool = False
    included: tuple[Path, ...] = ()

    def run(self, pause: Callable[[float], None]) -> None:
        """Check and publish at every save, until interrupted. `pause` waits so many seconds."""
        for _ in saves(Path(self.name), lambda: self.included, pause):
            self.once()

    def once(self) -> None:
        """Check and publish the pattern as it is now; what is wrong is said and shown, never raised."""
        try:
            loaded = load(self.name)
        except OSError as error:
            words = unreadable(self.name, error)
            self.tell(words)
            self.preview.show(None, words)
            return
        analysis = loaded.analysis
        self.included = loaded.included
        worth_saying = has_warnings(analysis)
        if worth_saying:
            self.tell(report([analysis], colour=self.colour))
        shown = report([analysis]) if worth_saying else ""
        if analysis.has_errors:
            self.preview.show(None, shown)
            return
        try:
            for path in write(loaded, outputs_of(self.name, self.choices), self.choices):
                self.tell(f"wrote {files.shown(str(path))}, {rows_said([analysis])}")
        except WrongUse as wrong:
            self.tell(f"turnchain: {wrong}")
            shown = f"{wrong}\n\n{shown}".rstrip()
        try:
            page = published(loaded, replace(self.choices, formats=("html",)))["html"].decode()
        except WrongUse:
            page = None
        self.preview.show(page, shown)
