"""What the schema says of a report in JSON."""

from __future__ import annotations

from typing import Any

from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from lampwright import schema


def problems(whole: Any) -> list[str]:
    """Return where a report is not as ``schemas/findings.schema.json`` has it."""
    files = [(f"{name}.schema.json", DRAFT202012.create_resource(schema.load(name))) for name in ("values", "findings")]
    registry: Registry[Any] = Registry().with_resources(files)
    validator = Draft202012Validator({"$ref": "findings.schema.json"}, registry=registry)
    return [f"{error.json_path} {error.message}" for error in validator.iter_errors(whole)]
