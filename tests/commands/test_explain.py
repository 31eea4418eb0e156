"""``lampwright explain``: pages of a handbook, and the kernel's own rules among them."""

from __future__ import annotations

import ast
import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

import lampwright
from command_line import call
from lampwright.documents import refusals, unfit
from lampwright.layout import Settings
from lampwright.library import Library
from lampwright.manual import Example, pieces
from lampwright.project import Run
from lampwright.rules import RULES, Rule

if TYPE_CHECKING:
    from plugin_site import Site

CORE = Path(lampwright.__file__).parent
MANUAL = """
    class Lonely(Check):
        '''Finds a signal that stands alone.

        A lone signal protects nothing; most often a line was lost when the plan
        was copied, see ``signals``.

        - This stays
        - as it is.

        Wrong:
            plan: 1
            signals:
              HF1: {}  # expect: lonely-signal "stands alone"

        Right:
            plan: 1
            signals:
              HF1: {}

              HF2: {}

        Limits: signals of other plans are not counted.
        '''

        name = "lonely-signal"
        sources = ("Some rule book, 1.2", "common practice")

        def look(self, signal):
            if len(signal.layout.signals) == 1:
                yield self.finding(f"{signal.name} stands alone", signal.spot())

    @hookimpl
    def checks():
        return [Lonely]
"""
PAGE = """\
error[lonely-signal]

Finds a signal that stands alone.

A lone signal protects nothing; most often a line was lost when the plan was copied, see `signals`.

- This stays
- as it is.

Wrong:

    plan: 1
    signals:
      HF1: {}

    error[lonely-signal]: HF1 stands alone
     --> example.yaml:3:3
      |
    3 |   HF1: {}
      |   ^^^

Right:

    plan: 1
    signals:
      HF1: {}

      HF2: {}

Limits: signals of other plans are not counted.

looks at    each signal
sources     Some rule book, 1.2; common practice
brought by  plugin lonely
"""


def test_a_whole_page(site: Site, monkeypatch: pytest.MonkeyPatch) -> None:
    """The manual, below the wrong example what is found in it, and the facts."""
    site.install("lonely", MANUAL)
    monkeypatch.setenv("LAMPWRIGHT_PLUGINS", "lonely")
    done = call("explain", "lonely-signal")
    assert (done.code, done.err) == (0, "")
    assert done.out == PAGE


def test_the_list_is_by_plugin() -> None:
    """Each rule with its level and the first line of its manual; the kernel's own come last."""
    done = call("explain")
    assert done.code == 0
    groups = [line for line in done.out.splitlines() if line and not line.startswith(" ")]
    assert groups[0].startswith("plugin ")
    assert groups[-1] == "lampwright itself"
    own = done.out.partition("lampwright itself\n")[2]
    assert re.findall(r"^  ([a-z-]+)  ", own, re.MULTILINE) == list(RULES)
    assert all(len(line) <= 100 for line in done.out.splitlines())


def test_an_unknown_rule_gets_the_near_miss() -> None:
    """2: a wrong call."""
    done = call("explain", "dupliacte-key")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("lampwright: there is no rule dupliacte-key: did you mean duplicate-key?\n")


def test_a_rule_that_needs_others_says_so(site: Site) -> None:
    """It does not look where they have found something."""
    del site
    out = call("explain", "doubtful-name").out
    assert "needs       nothing found by bad-name\n" in out
    assert out.startswith("warning[doubtful-name]\n")


def written() -> set[str]:
    """Return the names of rules that the kernel gives to findings itself, and the reader to what it meets in a file."""
    found = set()
    for path in CORE.rglob("*.py"):
        kind = "Slip" if path.parent.name == "documents" else "Finding"
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == kind and node.args:
                found.add(str(node.args[0].value) if isinstance(node.args[0], ast.Constant) else "")
    return found - {""}


def test_every_rule_of_the_kernel_has_a_manual() -> None:
    """A finding that nobody can explain helps nobody; two rules are named by constants."""
    assert written() | {refusals.RULE, unfit.RULE} == set(RULES)


EXAMPLES = [
    (rule, example) for rule in RULES.values() for example in pieces(rule.manual) if isinstance(example, Example)
]


@pytest.mark.parametrize(
    ("rule", "example"),
    EXAMPLES,
    ids=[f"{rule.name}-{'wrong' if example.wrong else 'right'}" for rule, example in EXAMPLES],
)
def test_the_examples_of_the_kernels_rules_do_what_they_say(rule: Rule, example: Example) -> None:
    """Without any check: these are found before one runs."""
    findings = Run(Library([]), [], Settings()).over([("example.yaml", example.text.encode())]).findings
    assert [finding.rule for finding in findings] == ([rule.name] if example.wrong else [])
    assert all(expected.rule == rule.name for expected in example.expected)
    assert all(expected.part in finding.message for expected, finding in zip(example.expected, findings, strict=True))
    assert len(example.expected) == example.wrong


@pytest.mark.parametrize("rule", RULES.values(), ids=lambda rule: rule.name)
def test_a_manual_begins_with_what_the_rule_finds(rule: Rule) -> None:
    """One line, then why."""
    first, blank, *rest = rule.manual.splitlines()
    assert first.startswith("Finds ")
    assert first.endswith(".")
    assert not blank
    assert rest
