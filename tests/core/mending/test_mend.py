"""Fixes: what is mended, what is left for the modeller, and that nothing gets worse."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from lampwright.layout import Settings
from lampwright.mending import Mended, mend
from lampwright.project import Result, Run
from support import PLAN, all_checks, library

if TYPE_CHECKING:
    from collections.abc import Mapping

HEAD = "plan: 1\nrulebook: gb-colour-light\nyear: 1978\n"


def run(text: str) -> Result:
    """Check a plan."""
    return Run(library(), all_checks(), Settings()).over([(PLAN, text.encode())])


def mended(text: str, *, unsafe: bool = False) -> Mended:
    """Mend a plan."""

    def again(texts: Mapping[str, str]) -> Result:
        return run(texts.get(PLAN, text))

    return mend(run(text), again, unsafe=unsafe)


def text_of(done: Mended, before: str) -> str:
    """Return the plan as it is afterwards."""
    return done.texts.get(PLAN, before)


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        pytest.param("  HF1: {form: four-aspekt}  # new\n", "  HF1: {form: four-aspect}  # new\n", id="form"),
        pytest.param("  HF1: {form: four-aspect, mont: high}\n", "  HF1: {form: four-aspect, mount: high}\n", id="key"),
        pytest.param(
            "  HF1: {form: four-aspect, gives: [danger, cauton]}\n",
            "  HF1: {form: four-aspect, gives: [danger, caution]}\n",
            id="aspect",
        ),
        pytest.param(
            "  HF1: {form: four-aspect, blanked: uper-yellow, gives: [danger, clear, caution]}\n",
            "  HF1: {form: four-aspect, blanked: upper-yellow, gives: [danger, clear, caution]}\n",
            id="lamp",
        ),
    ],
)
def test_a_slip_of_the_pen_is_mended_by_itself(wrong: str, right: str) -> None:
    """The word, and nothing but the word."""
    assert text_of(mended(f"{HEAD}signals:\n{wrong}"), "") == f"{HEAD}signals:\n{right}"


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        pytest.param("lines: {main: {speed: 60}}\n", "lines: {main: {speed: 60 mph}}\n", id="unit"),
        pytest.param(
            "signals:\n  HF1: {form: three-aspect, shows: {danger: red}}\n",
            "signals:\n  HF1: {form: three-aspect, shows: {danger: red, caution: yellow, clear: green}}\n",
            id="aspects left out",
        ),
        pytest.param(
            "signals:\n  HF1: {form: two-aspect-stop, routes: [{to: HF3}]}\n  HF3: {form: four-aspect}\n",
            "signals:\n  HF1: {form: three-aspect, routes: [{to: HF3}]}\n  HF3: {form: four-aspect}\n",
            id="a form that can say what it is asked",
        ),
        pytest.param(
            "signals:\n  HF1: {form: three-aspect, lamps: [{red: A.0}, yellow, green]}\n",
            "signals:\n  HF1: {form: three-aspect, lamps: [green, yellow, {red: A.0}]}\n",
            id="lamps from the top",
        ),
        pytest.param(
            "signals:\n  HF1: {form: three-aspect, routes: [{to: HF2}]}\n  HF3: {form: three-aspect}\n",
            "signals:\n  HF1: {form: three-aspect, routes: [{to: HF3}]}\n  HF3: {form: three-aspect}\n",
            id="a number may be another signal",
        ),
    ],
)
def test_what_may_mean_something_else_is_mended_on_request(wrong: str, right: str) -> None:
    """Without it, the reason is told."""
    left = mended(HEAD + wrong)
    assert text_of(left, HEAD + wrong) == HEAD + wrong
    assert [why for *_, why in left.refused] == ["it may not be what is meant: --unsafe-fixes makes it"]
    assert text_of(mended(HEAD + wrong, unsafe=True), "") == HEAD + right


@pytest.mark.parametrize("stage", ["built", "proved"])
def test_what_stands_is_left_for_the_modeller(stage: str) -> None:
    """Whether the plan or the signal is wrong, nobody here can see."""
    text = f"{HEAD}signals:\n  HF1: {{form: three-aspect, stage: {stage}, lamps: [red, yellow, green]}}\n"
    done = mended(text, unsafe=True)
    assert not done.texts
    ((_, fix, why),) = done.refused
    assert why == "HF1 stands already: rewire or rebuild it, or correct the plan, by hand"
    assert fix.title == "write them from the top: green, yellow, red"


EXAMPLES = Path(__file__).parents[3] / "rulesets/gb-colour-light/examples"
MERROWDALE = (EXAMPLES / "merrowdale-junction.yaml").read_text("utf-8")
WORDS = list(re.finditer(r"(?<=[ {\[])[a-z]+(?:-[a-z]+)+|(?<=\n {4})[a-z]+(?=:)", MERROWDALE))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.sampled_from(WORDS), st.integers(0, 30), st.booleans())
def test_mending_never_makes_worse_and_is_done_at_once(word: re.Match[str], at: int, unsafe: bool) -> None:  # noqa: FBT001
    """A letter lost anywhere in a plan of 29 signals: nothing new is found afterwards, and nothing is left to mend."""
    at = word.start() + at % len(word[0])
    text = MERROWDALE[:at] + MERROWDALE[at + 1 :]
    before = run(text)
    assume(before.findings)
    done = mended(text, unsafe=unsafe)
    known = {(one.rule, one.message) for one in before.findings}
    hidden = bool({one.rule for one in before.findings} & {"malformed", "unknown-name"}) or bool(before.skips)
    assert hidden or {(one.rule, one.message) for one in done.result.findings} <= known
    assert len(done.result.findings) <= len(before.findings) or hidden
    after = text_of(done, text)
    assert not mended(after, unsafe=unsafe).texts
    if done.made and not done.result.findings and all(fix.safe for _, fix in done.made):
        inside = at - word.start()
        wrong = word[0][:inside] + word[0][inside + 1 :]
        assert (
            re.sub(rf"(?<![\w-]){re.escape(wrong)}(?![\w-])", word[0], after) == MERROWDALE
        )  # where named, or as named


def test_what_nobody_could_see_before_is_no_harm() -> None:
    """While its form is misspelt, nobody can see that a signal has a lamp that is never lit."""
    plan = "ends: {e: {kind: buffer-stop}}\nsignals:\n  S1: {form: three-aspct, routes: [{to: e}]}\n"
    done = mended(HEAD + plan)
    assert text_of(done, "") == HEAD + plan.replace("aspct", "aspect")
    assert [finding.rule for finding in done.result.findings] == ["idle-aspect"]
