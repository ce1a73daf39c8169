"""Published files on the disk."""

from __future__ import annotations

import os
import stat
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write the file whole or not at all.

    The text goes to a new file beside it, which then takes its place: a reader, or a crash, finds the old one
    or the new one. A file that was there keeps its permissions; a linked one is written where the link leads.
    What is no file of its own, such as /dev/stdout, is written to directly. OSError as from any writing.
    """
    target = path.resolve()
    if target.exists() and not target.is_file():
        path.write_bytes(content)
        return
    beside = target.with_name(f".{os.getpid()}-{os.urandom(4).hex()}.part")
    try:
        with beside.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            beside.chmod(stat.S_IMODE(target.stat().st_mode))
        os.replace(beside, target)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
