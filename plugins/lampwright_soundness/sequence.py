"""The sequence: a rule for every situation, no rule for none, and every aspect asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Level
from lampwright.words import counted, listed
from lampwright_soundness.facts import ANOTHER, NEXT
from lampwright_soundness.situations import MOST, STOPPING, explored

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.findings import Finding, Path
    from lampwright.rulebooks import Rulebook
    from lampwright_soundness.facts import Facts
    from lampwright_soundness.situations import Situations


class SequenceGap(Check):
    """Finds a situation that no rule of the sequence fits.

    There a signal has nothing to show, and whatever a plan shows there cannot be judged. The finding names one such
    situation, in the words of `when`: what the next signal shows is any aspect that a signal there can give or an end
    of line, every other fact has the values that rules name, or another.

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
          - {when: {next: caution}, show: clear}           # expect: sequence-gap "next: clear"

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
          - {when: {next: {at-least: caution}}, show: clear}

    Limits: a rulebook without a sequence, or without rules for a role, says nothing of it and is not complete, which is
    no fault. Facts are taken to be known: a plan that does not say a speed may still find no rule. A sequence that
    tells more than a hundred thousand situations apart is not proved, and said so.
    """

    name = "sequence-gap"
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Try every situation."""
        told: set[str] = set()
        for made, outcomes in explored(subject):
            gaps = [outcome.facts for outcome in outcomes or () if not outcome.path]
            if made.role in told or not made.rules or (outcomes is not None and not gaps):
                continue
            told.add(made.role)
            spot = subject.spot(*made.rules[-1][0])
            if outcomes is None:
                message = f"{_rules(made)} tell more than {MOST:,} situations apart, so that no gap can be ruled out"
                yield self.finding(message, spot, level=Level.NOTE)
            else:
                yield self.finding(f"none of {_rules(made)} fits {_example(gaps)}", spot, because=_more(gaps))


class IdleRule(Check):
    """Finds a rule of the sequence that is never the first that fits.

    The first rule that fits counts. One that earlier rules leave nothing to, or whose condition nothing meets, does
    nothing: something is misspelt, stands too far down, or was meant otherwise.

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
          - {when: {next: {at-least: caution}}, show: clear}
          - {when: {next: clear}, show: clear}             # expect: idle-rule "rule 3 never applies"

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
          - {when: {next: {at-least: caution}}, show: clear}

    Limits: that an aspect is ever shown ahead is taken from what forms can give, not from what the sequence asks of
    them. A condition on parts of a post is nothing the sequence can meet.
    """

    name = "idle-rule"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Collect the rules that fit somewhere; name the others."""
        unproved = {made.role for made, outcomes in explored(subject) if outcomes is None}
        used = {outcome.path for _, outcomes in explored(subject) for outcome in outcomes or ()}
        idle: dict[Path, list[Situations]] = {}
        for made, _ in explored(subject):
            for path, _ in made.rules:
                if path not in used and made.role not in unproved and made.forms:
                    idle.setdefault(path, []).append(made)
        for path, spaces in idle.items():
            takers = sorted({taker for made in spaces for taker in _takers(made, path)})
            message = f"{_named(subject, path)} never applies"
            numbers = listed([str(int(taker[-1]) + 1) for taker in takers])
            rules = f"rule{'s' if len(takers) > 1 else ''} {numbers}"
            because = f"{rules} before it fit{'' if len(takers) > 1 else 's'} wherever it does"
            spots = [subject.spot(*taker, label="fits first") for taker in takers[:3]]
            nowhere = "no situation meets its condition"
            yield self.finding(message, subject.spot(*path), related=spots, because=because if takers else nowhere)


class UngivenAspect(Check):
    """Finds a rule of the sequence that asks for an aspect no form of its role can give.

    Such a rule is obeyed by nobody, or only by way of the aspects that it names after this one. Most often the aspect
    belongs to another kind of signal, or a form lacks it.

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
          home:
            role: stop
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
          distant:
            role: distant
            lamps: {green: green, yellow: yellow}
            shows: {caution: yellow, clear: green}
        sequence:
          stop:
            - {when: {next: {authority: [stop, proceed]}}, show: [caution, clear]}   # expect: ungiven-aspect "caution"
          distant:
            - {when: {next: {authority: stop}}, show: caution}
            - {when: {next: {authority: proceed}}, show: clear}

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
          home:
            role: stop
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
          distant:
            role: distant
            lamps: {green: green, yellow: yellow}
            shows: {caution: yellow, clear: green}
        sequence:
          stop:
            - {when: {next: {authority: [stop, proceed]}}, show: clear}
          distant:
            - {when: {next: {authority: stop}}, show: caution}
            - {when: {next: {authority: proceed}}, show: clear}

    Limits: a role that no form has is not looked at.
    """

    name = "ungiven-aspect"
    level = Level.WARNING
    scope = RULEBOOK
    needs = ("ambiguous-display", "misread-display", "contradicting-years")

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare what each rule asks with what forms can give in its years."""
        asked: dict[tuple[Path, str], bool] = {}
        for made, outcomes in explored(subject):
            for outcome in outcomes or () if made.forms else ():
                for aspect in (*outcome.asks, *outcome.may):
                    asked[outcome.path, aspect] = asked.get((outcome.path, aspect), False) or aspect in made.gives
        for (path, aspect), given in asked.items():
            if not given and path:
                role = path[1] if len(path) > 2 else "any role"  # noqa: PLR2004  (sequence, role, number)
                message = f"{_named(subject, path)} asks for {aspect}, which no form of {role} can give"
                yield self.finding(message, subject.spot(*path))


class UnaskedAspect(Check):
    """Finds an aspect that signals can give and no rule of the sequence ever asks for.

    It may be right: some aspects are shown by hand. But an aspect that a rule was forgotten for looks the same.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        aspects:
          danger: {says: {authority: stop}}
          caution: {says: {authority: proceed, stop-at: next}}     # expect: unasked-aspect "caution"
          clear: {says: {authority: proceed}}
        order: [[danger, caution, clear]]
        forms:
          three-aspect:
            role: stop
            lamps: {green: green, yellow: yellow, red: red}
            shows: {danger: red, caution: yellow, clear: green}
        sequence:
          - {when: {next: {authority: [stop, proceed]}}, show: clear}

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

    Limits: aspects that stop a train stand with no route set and need no rule, nor does what a form shows at rest or
    what a coupling forces. Forms of a role without rules are not asked anything.
    """

    name = "unasked-aspect"
    level = Level.NOTE
    scope = RULEBOOK
    needs = ("circular-order",)

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Collect what is asked of each form; name what is left."""
        if any(outcomes is None for _, outcomes in explored(subject)):
            return
        given: set[str] = set()
        asked: set[str] = set()
        for made, outcomes in explored(subject):
            given |= made.gives
            asked.update(
                aspect for gives in set(made.forms.values()) for item in outcomes or () for aspect in item.shown(gives)
            )
        for aspect in subject.aspects:
            if aspect in given - asked and not _stands_by_itself(subject, aspect):
                message = f"signals can give {aspect}, and no rule of the sequence asks for it"
                yield self.finding(message, subject.spot("aspects", aspect, on_key=True))


def _stands_by_itself(rulebook: Rulebook, aspect: str) -> bool:
    """Tell whether an aspect stops trains, is that of a signal at rest, or is forced by a coupling."""
    if rulebook.aspects[aspect].says.get("authority") in STOPPING:
        return True
    forms = rulebook.forms.values()
    rest = {
        str(word) for form in forms for word in (form.rest.values() if isinstance(form.rest, dict) else [form.rest])
    }
    forced = {
        state for form in forms for item in form.coupling for state in (*item.then.values(), *item.otherwise.values())
    }
    return aspect in rest | forced


def _takers(made: Situations, path: Path) -> set[Path]:
    """Return the rules that fit before one wherever it would; none if it would nowhere."""
    place = next(number for number, (other, _) in enumerate(made.rules) if other == path)
    own, earlier = made.rules[place : place + 1], made.rules[:place]
    fitting = (outcome.facts for outcome in made.outcomes(own) if outcome.path)
    return {outcome.path for facts in fitting for outcome in made.outcomes(earlier, facts)}


def _rules(made: Situations) -> str:
    """Name the rules of a role."""
    return f"the rules of {made.role}" if made.role else "the rules of the sequence"


def _named(rulebook: Rulebook, path: Path) -> str:
    """Name a rule: ``rule 3 of stop (yellow before red)``."""
    _, *role, number = path
    title = rulebook.sequence[str(role[0]) if role else ""][int(number)].title
    return f"rule {int(number) + 1}{f' of {role[0]}' if role else ''}{f' ({title})' if title else ''}"


def _example(gaps: Iterable[Facts]) -> str:
    """Return the plainest of situations in the words of a condition."""
    facts = min(gaps, key=lambda facts: (sum(value is not ANOTHER for value in facts.values()), len(facts)))
    said = (f"{'.'.join(fact)}: {_word(value)}" for fact, value in facts.items() if value is not ANOTHER)
    return ", ".join(said) or "a situation in which no fact is any that they name"


def _more(gaps: list[Facts]) -> str:
    """Say how many situations there are besides, and with what ahead."""
    if len(gaps) == 1:
        return ""
    ahead = dict.fromkeys(str(facts[NEXT]) for facts in gaps if NEXT in facts)
    return f"{counted(len(gaps), 'situation')} fit none{f', with next: {listed(ahead)}' if ahead else ''}"


def _word(value: object) -> str:
    """Return a value as it is written."""
    return str(value).lower() if isinstance(value, bool) else str(value)
