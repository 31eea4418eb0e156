"""Schemas for editors: in one piece, valid, wide enough for every example, and narrow enough to find slips."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from command_line import call
from lampwright.commands.schema import formats
from lampwright.documents import read
from lampwright.schema.bundle import bundled
from lampwright.schema.vocabulary import plan_schema
from support import library

ROOT = Path(__file__).parents[3]
EXAMPLES = sorted((ROOT / "rulesets").glob("*/examples/*.yaml"))


def validator(schema: dict[str, Any]) -> jsonschema.Draft202012Validator:
    """Return a validator of another's making, once the schema itself has been found to be one."""
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def plain(value: Any) -> Any:
    """Return values as any reader of YAML or JSON gives them."""
    if isinstance(value, dict):
        return {key: plain(held) for key, held in value.items()}
    if isinstance(value, list):
        return [plain(held) for held in value]
    return float(value) if isinstance(value, Decimal) else value


@pytest.mark.parametrize("form", formats())
def test_a_schema_in_one_piece_refers_to_nothing_outside(form: str) -> None:
    """And leads somewhere with every reference."""
    schema = bundled(form)
    jsonschema.Draft202012Validator.check_schema(schema)
    for reference in references(schema):
        start, _, name = reference.rpartition("/")
        assert start == "#/$defs"
        assert name in schema["$defs"]


def references(node: Any) -> list[str]:
    """Return every reference in a schema."""
    if isinstance(node, list):
        return [one for item in node for one in references(item)]
    if not isinstance(node, dict):
        return []
    here = [node["$ref"]] if isinstance(node.get("$ref"), str) else []
    return here + [one for value in node.values() for one in references(value)]


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_valid_by_its_rulebooks_schema(path: Path) -> None:
    """Nothing that is right is marked in an editor."""
    values = read(path, path.name).values
    book = library().get(values["rulebook"])
    assert book is not None
    errors = [
        f"{list(error.path)}: {error.message[:120]}"
        for error in validator(plan_schema(book)).iter_errors(plain(values))
    ]
    assert errors == []


GB = {"plan": 1, "rulebook": "gb-colour-light", "year": 1978}


@pytest.mark.parametrize(
    "signal",
    [
        pytest.param({"form": "four-aspekt"}, id="form"),
        pytest.param({"form": "four-aspect", "shows": {"claer": "green"}}, id="aspect"),
        pytest.param({"form": "four-aspect", "shows": {"clear": "gren"}}, id="lamp"),
        pytest.param({"form": "four-aspect", "shows": {"clear": {"gren": "flash"}}}, id="lamp with a state"),
        pytest.param({"form": "four-aspect", "gives": ["dagner"]}, id="aspect meant"),
        pytest.param({"form": "four-aspect", "carries": ["position-9"]}, id="indicator"),
        pytest.param({"form": "four-aspect", "routes": [{"to": "x", "indicator": "positon-1"}]}, id="of a route"),
    ],
)
def test_a_slip_is_marked(signal: dict[str, Any]) -> None:
    """But not where the plan has its own forms, or the signal another rulebook: the schema knows neither."""
    book = library().get("gb-colour-light")
    assert book is not None
    judge = validator(plan_schema(book))
    assert not judge.is_valid({**GB, "signals": {"HF1": signal}})
    assert judge.is_valid({**GB, "signals": {"HF1": {**signal, "rulebook": "mine"}}})
    assert judge.is_valid({**GB, "signals": {"HF1": {"form": "four-aspect"}}})


def test_words_tell_what_they_mean() -> None:
    """What an editor shows when one rests on an aspect: what it tells the driver, with the source."""
    book = library().get("gb-colour-light")
    assert book is not None
    words = plan_schema(book)["$defs"]["aspect-of-this-rulebook"]["anyOf"]
    (caution,) = [word for word in words if word.get("const") == "caution"]
    assert "stop at the next signal" in caution["description"] or "next signal" in caution["description"]
    assert caution["description"].endswith(")")


def test_the_command_prints_it() -> None:
    """A wrong format or rulebook is a wrong call."""
    assert call("schema", "plan", "--rulebook", "de-ks").out.startswith('{\n  "$schema"')
    assert "did you mean plan?" in call("schema", "pan").err
    assert call("schema", "plan", "--rulebook", "de-k").code == 2
    assert call("schema", "rulebook", "--rulebook", "de-ks").code == 2
