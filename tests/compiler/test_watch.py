"""A pattern under watch: every save is noticed, the preview keeps up, no broken pattern is published."""

import json
import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import chdir, suppress
from http.client import HTTPConnection
from pathlib import Path
from socket import SO_LINGER, SOL_SOCKET, create_connection
from struct import pack

import pytest
from turnchain.compiler.cli import app
from turnchain.compiler.commands.publish import Choices
from turnchain.compiler.watch import SETTLING, Preview, Watch, saves
from typer.testing import CliRunner

COASTER = """turnchain 1, US
pattern Coaster
piece Coaster, turned rows
start 11 ch
row 1: sc to end = 10
"""
BROKEN = COASTER.replace("= 10", "= 9")


class Stopped(Exception):  # noqa: N818 - ends a watch in a test
    pass


class Editor:
    """Stands in for the pauses of a watch, and does something to the files in each."""

    def __init__(self, *does: Callable[[], object] | None) -> None:
        self.does = list(does)

    def pause(self, seconds: float) -> None:
        if seconds == SETTLING:
            return
        if not self.does:
            raise Stopped
        step = self.does.pop(0)
        if step is not None:
            step()


@pytest.fixture
def pattern(tmp_path: Path) -> Path:
    path = tmp_path / "hat.tch"
    path.write_text(COASTER)
    return path


@pytest.fixture
def preview() -> Iterator[Preview]:
    with Preview("hat.tch") as opened:
        yield opened


def noticed(path: Path, *does: Callable[[], object] | None, also: tuple[Path, ...] = ()) -> int:
    times = 0
    editor = Editor(*does)
    with suppress(Stopped):
        for _ in saves(path, lambda: also, editor.pause):
            times += 1
    return times


def get(preview: Preview, path: str, host: str | None = None) -> tuple[int, str]:
    connection = HTTPConnection("127.0.0.1", preview.port, timeout=5)
    try:
        connection.request("GET", path, headers={"Host": host or f"127.0.0.1:{preview.port}"})
        answer = connection.getresponse()
        return answer.status, answer.read().decode()
    finally:
        connection.close()


# ---- saves -------------------------------------------------------------------------------------------------


def test_a_file_at_rest_is_read_once(pattern: Path) -> None:
    assert noticed(pattern, None, None, None) == 1


def test_each_save_is_noticed_once(pattern: Path) -> None:
    assert (
        noticed(pattern, lambda: pattern.write_text(BROKEN), None, lambda: pattern.write_text(COASTER)) == 3
    )


def test_a_file_gone_for_a_moment_is_waited_for(pattern: Path) -> None:
    aside = pattern.with_suffix(".bak")
    back = lambda: pattern.write_text(COASTER + "# new\n")  # noqa: E731
    assert noticed(pattern, lambda: pattern.rename(aside), None, None, back, None) == 2


def test_a_file_put_in_its_place_with_the_same_size_and_time_is_noticed(pattern: Path) -> None:
    new = pattern.with_suffix(".new")

    def replace() -> None:
        before = pattern.stat()
        new.write_text(COASTER.replace("11", "12"))
        os.utime(new, ns=(before.st_atime_ns, before.st_mtime_ns))
        os.replace(new, pattern)

    assert noticed(pattern, replace, None) == 2


def test_a_save_under_way_is_waited_out(pattern: Path) -> None:
    sizes = []
    writing = [COASTER[:20], COASTER[:50], COASTER + "# done\n"]

    def pause(seconds: float) -> None:
        if writing:
            pattern.write_text(writing.pop(0))
        elif seconds != SETTLING:
            raise Stopped

    with suppress(Stopped):
        for _ in saves(pattern, tuple, pause):
            sizes.append(pattern.stat().st_size)
    assert sizes == [len(COASTER + "# done\n")]


def test_a_file_that_is_brought_in_is_watched_too(pattern: Path) -> None:
    house = pattern.with_name("house.tch")
    assert (
        noticed(pattern, lambda: house.write_text("turnchain 1, US\n"), None, house.unlink, also=(house,))
        == 3
    )


def test_a_file_brought_in_that_is_saved_while_it_is_read_is_read_again(pattern: Path) -> None:
    house = pattern.with_name("house.tch")
    house.write_text("turnchain 1, US\n")
    times = 0
    with suppress(Stopped):
        for _ in saves(pattern, lambda: (house,), Editor(None, None).pause):
            times += 1
            if times == 1:
                house.write_text("turnchain 1, US\n# new\n")
    assert times == 2


# ---- the preview -------------------------------------------------------------------------------------------


def test_before_anything_is_published_the_preview_says_so(preview: Preview) -> None:
    assert "Nothing yet" in get(preview, "/page")[1]


def test_the_preview_keeps_the_last_good_page_under_what_is_wrong(preview: Preview) -> None:
    preview.show("<p>good", "")
    first = json.loads(get(preview, "/state")[1])
    preview.show(None, "error: <b>row 1</b>")
    second = json.loads(get(preview, "/state")[1])
    assert get(preview, "/page") == (200, "<p>good")
    assert second["report"] == "error: <b>row 1</b>"
    assert (second["page"], second["version"]) == (first["page"], first["version"] + 1)
    preview.show("<p>better", "")
    assert json.loads(get(preview, "/state")[1])["page"] == first["page"] + 1


@pytest.mark.parametrize("host", ["example.org", "example.org:80", "127.0.0.1", ""])
def test_a_page_of_another_site_gets_nothing(preview: Preview, host: str) -> None:
    assert get(preview, "/page", host or "0.0.0.0")[0] == 404


def test_a_browser_that_goes_away_leaves_no_words_behind(
    preview: Preview, capfd: pytest.CaptureFixture[str]
) -> None:
    preview.show("<p>" + "x" * 10_000_000, "")
    with create_connection(("127.0.0.1", preview.port), timeout=5) as gone:
        gone.sendall(f"GET /page HTTP/1.0\r\nHost: 127.0.0.1:{preview.port}\r\n\r\n".encode())
        gone.setsockopt(SOL_SOCKET, SO_LINGER, pack("ii", 1, 0))
    assert get(preview, "/state")[0] == 200
    time.sleep(0.2)
    assert capfd.readouterr() == ("", "")


def test_the_page_asks_for_nothing_elsewhere(preview: Preview) -> None:
    connection = HTTPConnection("127.0.0.1", preview.port, timeout=5)
    connection.request("GET", "/")
    answer = connection.getresponse()
    page = answer.read().decode()
    connection.close()
    assert "default-src 'none'" in (answer.getheader("Content-Security-Policy") or "")
    assert "http" not in page


@pytest.mark.parametrize("path", ["/hat.tch", "/../hat.tch", "/page/../../etc/passwd", "/state?x"])
def test_no_file_is_served(preview: Preview, path: str) -> None:
    assert get(preview, path)[0] == 404


def test_only_this_computer_can_look(preview: Preview) -> None:
    assert preview.address.startswith("http://127.0.0.1:")
    assert preview._server.server_address[0] == "127.0.0.1"


# ---- watching ----------------------------------------------------------------------------------------------


def watched(pattern: Path, preview: Preview, *does: Callable[[], object] | None) -> list[str]:
    told: list[str] = []
    watch = Watch(str(pattern), Choices(), preview, told.append)
    with pytest.raises(Stopped):
        watch.run(Editor(*does).pause)
    return told


def test_a_save_is_published_and_shown(pattern: Path, preview: Preview) -> None:
    told = watched(pattern, preview, lambda: pattern.write_text(COASTER.replace("Coaster", "Trivet")), None)
    page = pattern.with_suffix(".html").read_text()
    assert told == [f"wrote {pattern.with_suffix('.html')}, 1 row"] * 2
    assert "<h1>Trivet</h1>" in page
    assert get(preview, "/page")[1] == page
    assert page.count("<script") == page.count('<script type="application/ld+json">') == 1


def test_a_broken_pattern_is_not_published_and_what_is_wrong_is_shown(
    pattern: Path, preview: Preview
) -> None:
    watched(pattern, preview, None)
    page = pattern.with_suffix(".html").read_text()
    told = watched(pattern, preview, lambda: pattern.write_text(BROKEN), None)
    assert "error[stated-total]" in told[-1]
    assert pattern.with_suffix(".html").read_text() == page
    assert get(preview, "/page")[1] == page
    assert "error[stated-total]" in json.loads(get(preview, "/state")[1])["report"]


def test_a_pattern_mended_is_shown_without_a_report(pattern: Path, preview: Preview) -> None:
    pattern.write_text(BROKEN)
    watched(pattern, preview, lambda: pattern.write_text(COASTER), None)
    assert json.loads(get(preview, "/state")[1])["report"] == ""


def test_a_file_that_can_not_be_read_for_now_is_told(pattern: Path, preview: Preview) -> None:
    told = watched(
        pattern, preview, lambda: pattern.write_bytes(b"\xff"), lambda: pattern.write_text(COASTER), None
    )
    assert "not UTF-8" in told[1]
    assert told[2].startswith("wrote ")


def test_a_stitch_changed_in_a_file_brought_in_is_published_again(pattern: Path, preview: Preview) -> None:
    house = pattern.with_name("house.tch")
    house.write_text('turnchain 1, US\nstitch frill: 5 dc in st "a frill"\n')
    pattern.write_text(
        COASTER.replace("piece", 'use "house.tch"\npiece') + "row 2: [sc, frill] to end = 30\n"
    )
    told = watched(
        pattern,
        preview,
        lambda: house.write_text('turnchain 1, US\nstitch frill: 4 dc in st "a frill"\n'),
        None,
    )
    assert told[0].startswith("wrote ")
    assert "makes 25 stitches" in told[1]


def test_a_port_that_is_taken_is_said_in_one_line(pattern: Path, preview: Preview) -> None:
    done = CliRunner().invoke(app, ("watch", str(pattern), "--port", str(preview.port)))
    assert done.exit_code == 2
    assert done.stderr == f"turnchain: {pattern} can't be watched: address already in use\n"


@pytest.mark.parametrize(
    "words", [("gone.tch",), ("-",), ("hat.tch", "--out", "-"), ("hat.tch", "--port", "x")]
)
def test_what_can_not_be_watched_is_refused(pattern: Path, words: tuple[str, ...]) -> None:
    with chdir(pattern.parent):
        assert CliRunner().invoke(app, ("watch", *words)).exit_code == 2
    assert [path.name for path in pattern.parent.iterdir()] == ["hat.tch"]


def test_the_program_publishes_and_stops_cleanly(pattern: Path) -> None:
    # Whoever starts the tests in the background has them ignore Ctrl-C, and all that they start.
    heed = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)"
    program = f"{heed}; from turnchain.compiler.cli import main; main()"
    command = [sys.executable, "-u", "-c", program, "watch", "hat.tch"]
    running = subprocess.Popen(
        command, cwd=pattern.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    try:
        page = pattern.with_suffix(".html")
        end = time.monotonic() + 20
        while not page.exists() and time.monotonic() < end:
            time.sleep(0.05)
        time.sleep(0.1)
        running.send_signal(signal.SIGINT)
        out, err = running.communicate(timeout=20)
    finally:
        running.kill()
    lines = out.splitlines()
    assert lines[0].startswith("The preview is at http://127.0.0.1:")
    assert lines[1:] == ["wrote hat.html, 1 row", "Stopped."]
    assert (running.returncode, err) == (0, "")
