"""The build step that puts the parser's tables into the wheel."""

from __future__ import annotations

import importlib.util
from pathlib import Path
from typing import Any

from setuptools.command.build_py import build_py  # type: ignore[import-untyped,unused-ignore]

HERE = Path(__file__).parent


def _tables() -> Any:
    # By its path: the package `turnchain` is not installed while it is built.
    spec = importlib.util.spec_from_file_location("turnchain_tables", HERE / "tables.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


class BuildTables(build_py):  # type: ignore[misc,unused-ignore]
    """`build_py`, and the tables beside the grammar: the copied one, or the source in an editable install."""

    def run(self) -> None:
        """Copy the package as usual, then add the tables."""
        super().run()
        folder = HERE if self.editable_mode else Path(self.build_lib, "turnchain", "grammar")
        _tables().write_tables(folder)

    def get_outputs(self, include_bytecode: bool = True) -> list[str]:
        """List the tables too, so that they are uninstalled with the rest."""
        outputs: list[str] = super().get_outputs(include_bytecode)
        if self.editable_mode:
            return outputs
        return [*outputs, str(Path(self.build_lib, "turnchain", "grammar", _tables().FILE_NAME))]
