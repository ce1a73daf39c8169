"""A keystroke in an editor: from the change that is sent to the diagnostics and the counts that come back.

`python tests/bench/editor.py [EDITS]` types so many changes, and prints the times and the memory as well.
"""

from __future__ import annotations

import json
import random
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from patterns import long_pattern

SHOWN = 60
"""Lines that an editor shows, and so asks the counts of."""

URI = "untitled:long.tch"
KEYS = "0123456789abcdefghijklmnopqrstuvwxyz ,=[]"


class Editor:
    """Speaks to a server of its own, as plainly as can be."""

    def __init__(self) -> None:
        command = [sys.executable, "-c", "from turnchain.compiler.cli import main; main()", "editor"]
        self._server = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE)
        self._number = 0
        capabilities = {"general": {"positionEncodings": ["utf-32", "utf-16"]}}
        options = {"debounce": 0}
        self.ask(
            "initialize",
            {
                "processId": None,
                "rootUri": None,
                "capabilities": capabilities,
                "initializationOptions": options,
            },
        )
        self.tell("initialized", {})

    def __enter__(self) -> Editor:
        return self

    def __exit__(self, *_: object) -> None:
        self.ask("shutdown", None)
        self.tell("exit", None)
        self._server.wait(30)

    @property
    def resident(self) -> int:
        """The kilobytes of memory that the server has now."""
        status = Path(f"/proc/{self._server.pid}/status").read_text("utf-8")
        return int(status.split("VmRSS:")[1].split()[0])

    def tell(self, method: str, params: object) -> None:
        self._send({"jsonrpc": "2.0", "method": method, "params": params})

    def ask(self, method: str, params: object) -> Any:
        self._number += 1
        self._send({"jsonrpc": "2.0", "id": self._number, "method": method, "params": params})
        return self.until(lambda message: message.get("id") == self._number and "method" not in message)

    def until(self, wanted: Any) -> Any:
        """Read on up to the message that is wanted."""
        while not wanted(message := self._read()):
            pass
        return message

    def _send(self, message: object) -> None:
        content = json.dumps(message).encode()
        assert self._server.stdin is not None
        self._server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(content), content))
        self._server.stdin.flush()

    def _read(self) -> Any:
        assert self._server.stdout is not None
        length = 0
        while line := self._server.stdout.readline().strip():
            if line.lower().startswith(b"content-length:"):
                length = int(line.split(b":")[1])
        return json.loads(self._server.stdout.read(length))


@dataclass(frozen=True)
class Keystrokes:
    """Seconds from a change to what is told of it."""

    cold: float
    """Of the whole text, opened in a server that has just begun."""
    each: list[float]
    memory: list[int]
    """Kilobytes of the server, ten times on the way."""

    @property
    def median(self) -> float:
        return median(self.each)

    @property
    def slowest_of_100(self) -> float:
        """The 99th percentile."""
        return sorted(self.each)[int(len(self.each) * 0.99)]


def keystrokes(rows: int, edits: int) -> Keystrokes:
    """Type a key somewhere and take it out again, until so many changes are made."""
    text, chance = long_pattern(rows), random.Random(5)
    lines = text.splitlines()
    each, memory = [], []
    with Editor() as editor:
        cold = _opened(editor, text)
        for number in range(edits):
            if number % 2 == 0:
                line = chance.randrange(len(lines))
                column, key = chance.randint(0, len(lines[line])), chance.choice(KEYS)
                place, typed = (column, column), key
            else:
                place, typed = (column, column + 1), ""
            each.append(_changed(editor, number + 2, line, place, typed))
            if number % max(1, edits // 10) == 0:
                memory.append(editor.resident)
        memory.append(editor.resident)
    return Keystrokes(cold, each, memory)


def _opened(editor: Editor, text: str) -> float:
    start = perf_counter()
    item = {"uri": URI, "languageId": "turnchain", "version": 1, "text": text}
    editor.tell("textDocument/didOpen", {"textDocument": item})
    editor.until(lambda message: message.get("method") == "textDocument/publishDiagnostics")
    return perf_counter() - start


def _changed(editor: Editor, version: int, line: int, place: tuple[int, int], typed: str) -> float:
    start = perf_counter()
    first, last = ({"line": line, "character": column} for column in place)
    change = {"range": {"start": first, "end": last}, "text": typed}
    of = {"uri": URI}
    editor.tell(
        "textDocument/didChange", {"textDocument": {**of, "version": version}, "contentChanges": [change]}
    )
    told = editor.until(lambda message: message.get("method") == "textDocument/publishDiagnostics")
    assert told["params"]["version"] == version
    top = max(0, line - SHOWN // 2)
    shown = {"start": {"line": top, "character": 0}, "end": {"line": top + SHOWN, "character": 0}}
    editor.ask("textDocument/inlayHint", {"textDocument": of, "range": shown})
    return perf_counter() - start


if __name__ == "__main__":
    found = keystrokes(1_000, int(sys.argv[1]) if len(sys.argv) > 1 else 1_000)
    print(
        f"{len(found.each):,} changes: median {found.median * 1000:.1f} ms, "
        f"99th percentile {found.slowest_of_100 * 1000:.1f} ms, most {max(found.each) * 1000:.1f} ms, "
        f"opened in {found.cold * 1000:.0f} ms; memory in KB {', '.join(map(str, found.memory))}"
    )
