"""Every situation that a sequence can meet, told apart as far as its rules do, and the rule that fits each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from msgspec import Struct

from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.epochs import epochs
from lampwright.rulebooks.format import ANY_ROLE
from lampwright.rulebooks.sequence import BUFFERS, END, fits, rules, wanted
from lampwright_soundness.facts import HERE, NEXT, SECOND, situation, tests, vocabulary

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Sequence

    from lampwright.findings import Path
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Form, Rule
    from lampwright.years import Years
    from lampwright_soundness.facts import Fact, Facts

    Rules = Sequence[tuple[Path, Rule]]

AHEAD: Final = frozenset({"stop", "shunt"})
"""Roles of what routes lead to."""
TELLING: Final = frozenset({"distant", "repeater"})
"""Roles of what only tells of another signal; a distant on the way is seen as the next signal by all others."""
STOPPING: Final = frozenset({"stop", "stop-then-sight", "sight-without-stop"})
MOST: Final = 100_000
"""Most situations of one role in one span of years that are looked at."""


class Outcome(Struct, frozen=True):
    """The facts that decided, the rule that fits and what it asks for; ``path`` is empty if none fits."""

    facts: Facts
    path: Path = ()
    asks: tuple[str, ...] = ()
    may: tuple[str, ...] = ()

    def shown(self, gives: frozenset[str]) -> tuple[str, ...]:
        """Return what a form that can give these aspects may show: what must stand first, then what is allowed."""
        must = next((aspect for aspect in self.asks if aspect in gives), "")
        return tuple(dict.fromkeys(aspect for aspect in (must, *self.may) if aspect in gives))


class Situations:
    """The sequence of one role in a span of years; ``forms`` are those it holds for, with what each can give."""

    def __init__(self, rulebook: Rulebook, role: str, epoch: Years) -> None:
        self.rulebook = rulebook
        self.role = role
        self.epoch = epoch
        self.rules = [(path, rule) for path, rule in rules(rulebook, role) if rule.years.covers(epoch)]
        self.forms = dict(_giving(rulebook, epoch, lambda form: _rules_of(rulebook, form) == role))
        self.ahead = self._faces()
        self._values = vocabulary(rulebook, [rule for _, rule in self.rules])

    @property
    def gives(self) -> frozenset[str]:
        """The aspects that forms of the role can give."""
        return frozenset(aspect for given in self.forms.values() for aspect in given)

    def outcomes(self, among: Rules | None = None, start: Facts | None = None) -> Iterator[Outcome]:
        """Yield every situation that rules tell apart, each once, with the first of the rules that fits.

        ``among`` takes the place of all rules, and ``start`` is known beforehand.
        """
        known = self.rules if among is None else among
        waiting: list[tuple[Facts, int, int]] = [(start or {}, 0, 0)]
        while waiting:
            branches = self._branches(known, *waiting.pop())
            if isinstance(branches, Outcome):
                yield branches
            else:
                waiting += branches

    def _branches(
        self, known: Rules, facts: Facts, number: int, test: int
    ) -> Outcome | Iterable[tuple[Facts, int, int]]:
        """Go on as long as the facts decide; then return what is found, or a branch for each value of the next fact."""
        while number < len(known):
            path, rule = known[number]
            conditions = tests(rule)
            if test == len(conditions):
                if asks := wanted(self.rulebook, rule, situation(facts)):
                    return Outcome(facts, path, asks, rule.may)
                number, test = number + 1, 0
                continue
            fact = next((fact for fact in conditions[test].facts if fact not in facts), None)
            if fact is not None:
                return [({**facts, fact: value}, number, test) for value in reversed(self._of(fact, facts))]
            holds = fits(self.rulebook, conditions[test].when, situation(facts))
            number, test = (number, test + 1) if holds else (number + 1, 0)
        return Outcome(facts)

    def _of(self, fact: Fact, facts: Facts) -> tuple[Any, ...]:
        """Return the values a fact can have beside those known."""
        if fact == HERE:
            return tuple(sorted(self.gives))
        if fact == SECOND:
            return self._seconds(facts.get(NEXT))
        return self.ahead if fact == NEXT else self._values[fact]

    def _seconds(self, shown: str | None) -> tuple[str, ...]:
        """Return what the second signal can show while the next shows what it does; anything if that one stops."""
        aspect = self.rulebook.aspects.get(shown or "")
        if aspect is None or aspect.says.get("authority") in STOPPING:
            return self.ahead
        known = _behind(self.rulebook, self.epoch).get(shown or "", self.ahead)
        return tuple(face for face in self.ahead if face in known)

    def _faces(self) -> tuple[str, ...]:
        """Return what a signal of this role can see ahead: an end of line, and what signals there can give."""
        named = {word for _, rule in self.rules for word in _words(rule.when.get("next"))}
        seen = AHEAD if self.role in TELLING else AHEAD | {"distant"}
        anybody = not any(form.roles for form in self.rulebook.forms.values())
        giving = _giving(self.rulebook, self.epoch, lambda form: anybody or bool(seen.intersection(form.roles)))
        faces = dict.fromkeys(aspect for _, given in giving for aspect in self.rulebook.aspects if aspect in given)
        return (*([BUFFERS] if BUFFERS in named else []), END, *faces)


def explored(rulebook: Rulebook) -> tuple[tuple[Situations, tuple[Outcome, ...] | None], ...]:
    """Return the sequence of each role, once for each span of years in which it is another, with its situations.

    They are None if there are more than are looked at. Worked out once.
    """
    if "explored" not in rulebook.cache:
        rulebook.cache["explored"] = tuple((made, _all(made)) for made in _sequences(rulebook))
    found: tuple[tuple[Situations, tuple[Outcome, ...] | None], ...] = rulebook.cache["explored"]
    return found


def _sequences(rulebook: Rulebook) -> Iterator[Situations]:
    """Yield the sequence of each role, once for each span of years in which it is another."""
    for role in rulebook.sequence:
        known: set[object] = set()
        for epoch in epochs(rulebook):
            made = Situations(rulebook, role, epoch)
            key = (tuple(path for path, _ in made.rules), tuple(made.forms.items()), made.ahead)
            if key not in known:
                known.add(key)
                yield made


def _all(made: Situations) -> tuple[Outcome, ...] | None:
    """Return all situations, or None if they are too many."""
    found = []
    for outcome in made.outcomes():
        found.append(outcome)
        if len(found) > MOST:
            return None
    return tuple(found)


def _rules_of(rulebook: Rulebook, form: Form) -> str:
    """Return the role by whose rules a form goes; one for all roles is the empty text."""
    known = next((role for role in form.roles if role in rulebook.sequence), None)
    return ANY_ROLE if known is None and ANY_ROLE in rulebook.sequence else known or "none"


def _giving(rulebook: Rulebook, epoch: Years, meant: Callable[[Form], bool]) -> Iterator[tuple[str, frozenset[str]]]:
    """Yield forms without parts that are in use, with the aspects each can give."""
    for name, form in rulebook.forms.items():
        if not form.parts and form.years.meets(epoch) and meant(form):
            yield name, frozenset(reader(rulebook, name, epoch).gives)


def _behind(rulebook: Rulebook, epoch: Years) -> dict[str, set[str]]:
    """Return, for each aspect that a rule can ask of a stop signal, what may stand at the next while it does."""
    key = ("behind", epoch.first, epoch.last)
    if key not in rulebook.cache:
        found: dict[str, set[str]] = {}
        rulebook.cache[key] = {}  # while this is worked out nothing is known of it
        made = Situations(rulebook, "stop" if "stop" in rulebook.sequence else ANY_ROLE, epoch)
        for outcome in _all(made) or ():
            seen = [outcome.facts[NEXT]] if NEXT in outcome.facts else made.ahead
            for aspect in (*outcome.asks, *outcome.may):
                found.setdefault(aspect, set()).update(seen)
        rulebook.cache[key] = found
    known: dict[str, set[str]] = rulebook.cache[key]
    return known


def _words(said: Any) -> list[Any]:
    """Return a condition on an aspect as the words it names."""
    return said if isinstance(said, list) else [said] if isinstance(said, str) else []
