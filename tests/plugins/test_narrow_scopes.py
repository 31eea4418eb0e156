"""A check that looks only at signals that say something would find nothing at the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from lampwright.checks import SIGNAL
from lampwright.manual import examples
from mutation.plans import PLANS, plan, spread, written
from mutation.slips import OPERATORS
from support import all_checks, result_of, rules_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from lampwright.checks import Check
    from lampwright.findings import Finding

NARROW = [check for check in all_checks() if check.scope.name == "signal" and check.scope is not SIGNAL]
MANUALS = [example.text for check in all_checks() if check.scope.of == "plan" for example in examples(type(check))]


def test_some_checks_are_narrow() -> None:
    """The tests below would pass over none."""
    assert {"unknown-plate", "nothing-lit", "missing-lamp"} <= {check.name for check in NARROW}


def test_nothing_is_passed_over_in_any_manual() -> None:
    """The wrong and right examples of all checks."""
    assert [found for text in MANUALS for found in passed_over(text)] == []


@pytest.mark.parametrize("path", PLANS, ids=lambda path: path.stem)
def test_nothing_is_passed_over_in_plans_with_slips(path: Path) -> None:
    """A slip of each kind in each example plan, and the plan as it is."""
    assert passed_over(written(plan(path))) == []
    for operator in OPERATORS:
        for mutant in spread(list(operator.make(plan(path))), 1):
            assert passed_over(mutant.text) == []


@pytest.mark.parametrize("check", all_checks(), ids=lambda check: check.name)
def test_no_check_waits_in_vain(check: Check) -> None:
    """What stops a check that looks only at some signals stops those that need it at the others too."""
    assert waited_for(check, everywhere=True) == waited_for(check, everywhere=False)


def test_a_lamp_without_an_output_is_not_told_where_the_form_is_in_doubt() -> None:
    """On a signal without routes, at which no check of indicators looks."""
    plan = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\nboards: {A: {kind: pwm-16}}\nsignals:\n  X1: "
    lamps = "[{green: A.0}, {red: A.1}, {yellow: {}}]"
    assert rules_of(f"{plan}{{form: four-aspect, lamps: {lamps}}}\n") == ["missing-lamp"]
    assert rules_of(f"{plan}{{form: three-aspectt, lamps: {lamps}}}\n") == ["unknown-form"]


class Asked:
    """In place of a layout: tells which keys a scope asks for."""

    def that_say(self, keys: Sequence[str]) -> Sequence[str]:
        """Return the keys."""
        return keys


def waited_for(check: Check, *, everywhere: bool) -> set[str]:
    """Return what must find nothing first, directly or not; ``everywhere`` the check looks, or if it only may."""
    known = {one.name: one for one in all_checks()}
    found: set[str] = set()
    waiting = [*check.needs]
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting += known[name].needs if not everywhere or looks_too(known[name], check) else ()
    return found


def looks_too(needed: Check, check: Check) -> bool:
    """Tell whether a check looks at every signal that another looks at."""
    if needed not in NARROW:
        return True
    return check in NARROW and {*check.scope.subjects(Asked())} <= {*needed.scope.subjects(Asked())}


def passed_over(text: str) -> list[str]:
    """Return what narrow checks would find at signals that they do not look at."""
    return [
        f"{check.name}: {finding.message}"
        for layout in result_of(text).layouts
        for check in NARROW
        if not check.missing(layout)
        for finding in _outside(check, layout)
    ]


def _outside(check: Check, layout: object) -> Iterator[Finding]:
    """Yield what a check finds at signals outside of its scope."""
    looked_at = {subject.path for subject in check.scope.subjects(layout)}
    for signal in SIGNAL.subjects(layout):
        if signal.path not in looked_at:
            yield from check.look(signal)
