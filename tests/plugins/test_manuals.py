"""Every check's manual: it has its parts, and its examples do what they say with every check loaded."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.manual import Example, examples, manual
from support import all_checks, findings_of

if TYPE_CHECKING:
    from lampwright.checks import Check

CHECKS = [type(check) for check in all_checks()]
EXAMPLES = [(check, number, example) for check in CHECKS for number, example in enumerate(examples(check), 1)]


def named(value: object) -> str:
    """Return what pytest calls an example."""
    return str(getattr(value, "name", "" if isinstance(value, Example) else value))


def test_there_are_checks() -> None:
    """The tests below would pass over an empty list."""
    assert "unknown-form" in {check.name for check in CHECKS}


@pytest.mark.parametrize("check", CHECKS, ids=named)
def test_a_manual_has_all_its_parts(check: type[Check]) -> None:
    """What it finds, why it matters, a wrong example that shows this very rule, a right one, limits."""
    shown = examples(check)
    assert any(check.name in {expected.rule for expected in example.expected} for example in shown if example.wrong)
    assert any(not example.wrong for example in shown)
    first, blank, *rest = manual(check).splitlines()
    assert first.endswith(".")
    assert not blank
    assert rest[0]
    assert any(line.startswith("Limits") for line in rest)


@pytest.mark.parametrize(("check", "number", "example"), EXAMPLES, ids=named)
def test_an_example_gets_what_it_says(check: type[Check], number: int, example: Example) -> None:
    """A wrong one gets the findings it names and no other; a right one gets none."""
    del check, number
    assert bool(example.expected) == example.wrong
    found = findings_of(example.text)
    assert sorted(finding.rule for finding in found) == sorted(expected.rule for expected in example.expected)
    for expected in example.expected:
        messages = [finding.message for finding in found if finding.rule == expected.rule]
        assert any(expected.part in message for message in messages), messages
