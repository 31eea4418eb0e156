"""The same findings whatever the order of files, and the same in every report."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from command_line import call

if TYPE_CHECKING:
    from pathlib import Path

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"
FILES = {
    "north.yaml": f"{HEAD}signals:\n  N1: {{form: four-aspekt, routes: [{{to: south/S1}}]}}\n",
    "south.yaml": f"{HEAD}signals:\n  S1: {{form: two-aspect-stop, routes: [{{to: west/W1}}]}}\n",
    "west.yaml": f"{HEAD}signals:\n  W1: {{form: four-aspect, routes: [{{to: north/N2}}]}}\n",
    "a/twin.yaml": f"{HEAD}signals:\n  T1: {{form: three-aspect}}\n",
    "b/twin.yaml": f"{HEAD}signals:\n  T2: {{form: three-aspect}}\n",
    "user.yaml": f"{HEAD}signals:\n  U1: {{form: three-aspect, routes: [{{to: twin/T1}}]}}\n",
    "broken.yaml": "plan: 1\nsignals: {\n",
}


def made(folder: Path) -> list[str]:
    """Write the files; return their paths."""
    for name, text in FILES.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text)
    return [str(folder / name) for name in FILES]


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(order=st.permutations(range(len(FILES))))
def test_the_order_of_files_changes_nothing(tmp_path: Path, order: list[int]) -> None:
    """Files that name each other's signals, two of one name, one that cannot be read."""
    paths = made(tmp_path)
    found = [
        json.loads(call("check", *given, "--format", "json").out)["findings"]
        for given in (paths, [paths[number] for number in order])
    ]
    assert found[0] == found[1]
    assert len(found[0]) > len(FILES) // 2


def test_reports_agree_with_the_text(tmp_path: Path) -> None:
    """Rule and place of every finding, in the same order."""
    paths = made(tmp_path)
    text = call("check", *paths).out
    heads = re.findall(r"^(?:error|warning|note)\[([a-z-]+)\]", text, re.MULTILINE)
    places = re.findall(r"^ *--> (.*):(\d+):(\d+)$", text, re.MULTILINE)
    told = [(rule, file, int(line), int(column)) for rule, (file, line, column) in zip(heads, places, strict=True)]
    values = json.loads(call("check", *paths, "--format", "json").out)["findings"]
    assert [(one["rule"], one["file"], one["line"], one["column"]) for one in values] == told
    results = json.loads(call("check", *paths, "--format", "sarif").out)["runs"][0]["results"]
    regions = [(one["ruleId"], one["locations"][0]["physicalLocation"]) for one in results]
    assert [
        (
            rule,
            at["artifactLocation"]["uri"].removeprefix("file://"),
            at["region"]["startLine"],
            at["region"]["startColumn"],
        )
        for rule, at in regions
    ] == told
