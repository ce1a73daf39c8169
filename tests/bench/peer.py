"""What starting up is held against: two empty Typer commands with a path, and lark imported."""

from pathlib import Path

import lark  # noqa: F401 - that it is imported is the point
import typer

app = typer.Typer()


@app.command()
def check(path: Path) -> None:
    """Do nothing."""


@app.command()
def publish(path: Path) -> None:
    """Do nothing."""
