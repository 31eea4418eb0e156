"""Runs that are forbidden: what the sequence asks for is none of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import RULEBOOK, Check
from lampwright.years import Years
from lampwright_soundness.facts import NEXT, SECOND
from lampwright_soundness.situations import explored

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.rulebooks import Rulebook
    from lampwright_soundness.situations import Outcome


class ForbiddenRun(Check):
    """Finds a run of aspects that `never` forbids and that a rule of the sequence asks for.

    Whoever follows the sequence breaks the prohibition, and a plan can only be wrong: one of the two was copied badly,
    or a rule is missing before the one that fits.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            role: stop
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}
        sequence:
          - {when: {next: {authority: stop}}, show: caution}
          - {when: {next: caution}, show: caution}
          - {when: {next: clear}, show: clear}
        never:
          - {run: [caution, caution]}                      # expect: forbidden-run "caution before caution"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            role: stop
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}
        sequence:
          - {when: {next: {authority: stop}}, show: caution}
          - {when: {next: {authority: proceed}}, show: clear}
        never:
          - {run: [caution, caution]}

    Limits: what a rule only allows (`may`) is not asked for. Of a run of three or more it must be rules that ask about
    the second signal; longer ones are not followed.
    """

    name = "forbidden-run"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Look for every run in every situation."""
        for number, item in enumerate(subject.never):
            run = [_list(aspects) for aspects in item["run"]]
            years = Years.parse(item["years"]) if "years" in item else None
            for outcome, aspect in _asked(subject, years):
                seen = (aspect, *(outcome.facts.get(fact) for fact in (NEXT, SECOND)))
                if len(run) <= len(seen) and all(one in names for one, names in zip(seen, run, strict=False)):
                    yield self._finding(subject, number, [str(one) for one in seen[: len(run)]], outcome.path)
                    break

    def _finding(self, subject: Rulebook, number: int, run: list[str], rule: Path) -> Finding:
        message = f"the sequence asks for {' before '.join(run)}, a run that is forbidden"
        label = subject.spot(*rule, label="this rule asks for it")
        return self.finding(message, subject.spot("never", number, "run"), related=[label])


def _asked(rulebook: Rulebook, years: Years | None) -> Iterator[tuple[Outcome, str]]:
    """Yield every situation with the aspect that a form must show in it; of spans of years in which it counts."""
    for made, outcomes in explored(rulebook):
        if years is None or years.meets(made.epoch):
            for outcome in outcomes or ():
                for gives in dict.fromkeys(made.forms.values()) if outcome.path else ():
                    first = next((aspect for aspect in outcome.asks if aspect in gives), "")
                    if first:
                        yield outcome, first


def _list(said: Any) -> list[Any]:
    """Return a list; a lone word is a list of one."""
    return said if isinstance(said, list) else [said]
