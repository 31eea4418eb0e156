"""The schema files: sound JSON Schema, closed, hoverable, and no wider or narrower than the formats."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from jsonschema import Draft202012Validator

from lampwright import documents, schema
from lampwright.quantities import FRAMES, UNITS
from lampwright.schema.accept import KEYWORDS, acceptor
from lampwright.schema.files import Schema, load

if TYPE_CHECKING:
    from collections.abc import Iterator

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
KINDS = sorted(path.name.removesuffix(".schema.json") for path in (ROOT / "schemas").glob("*.schema.json"))
INNER = ("items", "additionalProperties", "propertyNames", "if", "then", "else")


def values(path: Path) -> Any:
    """Return the values of a file."""
    return documents.read(path, path.name).values


def nodes(kind: str) -> Iterator[tuple[str, Schema]]:
    """Yield every node of a schema file, with the way that leads to it."""
    root = load(kind)
    yield from _below(kind, Schema(root, root))


def _below(way: str, at: Schema) -> Iterator[tuple[str, Schema]]:
    yield way, at
    node = at.node
    named = [
        (f"{way}.{key}.{name}", inner) for key in ("properties", "$defs") for name, inner in node.get(key, {}).items()
    ]
    listed = [(f"{way}.{key}", inner) for key in ("allOf", "prefixItems") for inner in node.get(key, [])]
    single = [(f"{way}.{key}", node[key]) for key in INNER if isinstance(node.get(key), dict)]
    for inner_way, inner in named + listed + single:
        yield from _below(inner_way, at.inner(inner))


def every_node() -> list[tuple[str, Schema]]:
    """Return the nodes of all files."""
    return [pair for kind in KINDS for pair in nodes(kind)]


def test_there_are_schemas_of_the_formats() -> None:
    """Plans and rulebooks are read, findings are written."""
    assert {"plan", "rulebook", "findings"} <= set(KINDS)


@pytest.mark.parametrize("kind", KINDS)
def test_a_schema_is_json_schema_2020_12(kind: str) -> None:
    """The library's own metaschema finds nothing to say."""
    assert load(kind)["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(load(kind))


def test_no_keyword_is_one_that_nobody_looks_at() -> None:
    """A keyword that is not compiled would be a rule that never holds."""
    assert {way: found for way, at in every_node() if (found := at.node.keys() - KEYWORDS)} == {}


def test_every_reference_leads_somewhere() -> None:
    """A node that is named is there."""
    for way, at in every_node():
        if "$ref" in at.node:
            assert isinstance(at.target().node, dict), way


def test_every_map_is_closed() -> None:
    """A map has words of the format or names of the writer's, never both, and never just anything."""
    open_on_purpose = {"disputed"}  # what other sources say may be any value
    for way, at in every_node():
        steps = set(way.split("."))
        if at.node.get("type") == "object" and "if" not in {*at.node, *steps}:
            others = at.node.get("additionalProperties")
            assert others is not None or open_on_purpose & steps, way
            assert others is False or "properties" not in at.node, way


def test_every_key_says_what_it_is_for_when_pointed_at() -> None:
    """An editor shows title and description of the key under the pointer."""
    silent = []
    for way, at in every_node():
        for key, inner in at.node.get("properties", {}).items():
            chain = [at.inner(inner)]
            while "$ref" in chain[-1].node:
                chain.append(chain[-1].target())
            condition = way.endswith((".if", ".if.then", ".if.else"))
            told = any("title" in one.node or "description" in one.node for one in chain)
            if not told and not condition and not way.startswith("findings"):
                silent.append(f"{way}.{key}")
    assert silent == []


def test_every_example_is_accepted_where_it_stands() -> None:
    """What a message offers as an example would have been right."""
    examples = [(way, at, text) for way, at in every_node() for text in at.node.get("examples", ())]
    assert len(examples) > 50
    for way, at, text in examples:
        value = documents.read(f"- {text}".encode(), "example").values[0]
        assert acceptor(at)(value), f"{way}: {text}"


@pytest.mark.parametrize(
    "kind",
    ["speed", "length", "duration", "acceleration", "voltage", "current", "resistance", "frequency", "percentage"],
)
def test_a_quantity_has_the_units_that_can_be_read_and_no_others(kind: str) -> None:
    """The patterns and the table of units say the same."""
    measures = {"duration": "time", "percentage": "share"}.get(kind, kind)
    accepts = acceptor(Schema(load("values")["$defs"][kind], load("values")))
    assert {unit for unit in UNITS if accepts(f"1.5 {unit}")} == {
        u for u, (what, _) in UNITS.items() if what == measures
    }
    framed = all(
        accepts(f"{frame} 1 {unit}") for frame in FRAMES for unit, (what, _) in UNITS.items() if what == measures
    )
    assert framed == (kind in {"speed", "length", "acceleration"})
    assert not any(map(accepts, ["1", 1, Decimal("1.5"), "1.5", "fast", "", None, "1 furlong"]))


@pytest.mark.parametrize("kind", ["plan", "rulebook"])
def test_the_sample_is_accepted_and_uses_every_key_of_the_format(kind: str) -> None:
    """No key of the format is without a document that uses it."""
    sample = values(HERE / f"{kind}.yaml")
    assert schema.faults(kind, sample) == []
    keys = {key for _, at in nodes(kind) for key in at.node.get("properties", {})}
    assert keys - set(_keys(sample)) == set()


def _keys(value: Any) -> Iterator[str]:
    if isinstance(value, dict):
        yield from value
    for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
        yield from _keys(inner)


@pytest.mark.parametrize("path", sorted((HERE.parent / "rulebooks").glob("*.yaml")), ids=lambda path: path.stem)
def test_the_acceptance_fixtures_are_accepted(path: Path) -> None:
    """Every rulebook of the fixtures is one."""
    assert schema.faults("rulebook", values(path)) == []


@pytest.mark.parametrize("path", sorted((ROOT / "rulesets").glob("*/rulebook.yaml")), ids=lambda path: path.parent.name)
def test_the_bundled_rulebooks_are_accepted(path: Path) -> None:
    """Every bundled rulebook is one."""
    assert schema.faults("rulebook", values(path)) == []


@pytest.mark.parametrize("path", sorted((ROOT / "rulesets").glob("*/examples/*.yaml")), ids=lambda path: path.stem)
def test_the_example_plans_are_accepted(path: Path) -> None:
    """Every bundled example is a plan."""
    assert schema.faults("plan", values(path)) == []


PLAN_SHAPES = """
plan: 1
signals: {Q1: {form: three-aspect, shows: {clear: [green]}}}
---
plan: 1
signals: {Q1: {lamps: [green, yellow, red]}}
---
plan: 1
signals: {101: {routes: [{to: 103, points: {7: reverse}, indicator: {alphanumeric: 2}}]}}
boards: {1: {address: 64}}
---
plan: 1
signals: {Q1: {lamps: {lens: {red: 1.0, green: {output: 1.10}}, top.red: A.P3}}}
"""


@pytest.mark.parametrize("text", PLAN_SHAPES.split("---\n"))
def test_a_plan_may_say_little_and_use_numbers_for_names(text: str) -> None:
    """Sections may be left out; 101 is a name, 1.10 an output of board 1."""
    assert schema.faults("plan", documents.read(text.encode(), "plan").values) == []


def test_findings_as_json_are_accepted() -> None:
    """A finding with everything is one; lines count from 1."""
    place = {
        "file": "a.yaml",
        "path": ["signals", "Q1", "lamps", 0],
        "line": 3,
        "column": 5,
        "end_line": 3,
        "end_column": 9,
    }
    finding = {
        "rule": "unknown-form",
        "level": "error",
        "message": "Q1 is of no known form",
        "basis": None,
        "source": "",
        "tip": "did you mean three-aspect?",
        "related": [{**place, "label": "as in use in 1978"}],
        **place,
    }
    summary = {"files": ["a.yaml"], "rulebook": ["gb-colour-light"], "year": ["1978"], "checks_run": 41}
    counts = {"errors": 1, "warnings": 0, "notes": 0}
    skipped = [{"rule": "no-room", "about": "Q1", "reason": "no lengths given"}]
    document = {
        "format": "lampwright-findings/1",
        "findings": [finding],
        "summary": {**summary, **counts, "skipped": skipped},
    }
    assert schema.faults("findings", json.loads(json.dumps(document))) == []
    finding["line"] = 0
    assert [fault.path for fault in schema.faults("findings", document)] == [("findings", 0, "line")]
