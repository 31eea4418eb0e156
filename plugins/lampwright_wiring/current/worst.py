"""The worst legal state for a sum: what all signals stand at when it is greatest."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from math import lcm
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright_wiring.current.elimination import Table, apart, greatest
from lampwright_wiring.current.hindrance import Hindrances

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

    from lampwright_wiring.current.hindrance import Hindrance
    from lampwright_wiring.current.states import Choice, Legal

    Rows = dict[tuple[int, ...], Fraction]
    Amounts = dict[tuple[int, ...], Rows]


class Worst(Struct, frozen=True):
    """No legal state gives more than ``most``; ``exact`` tells that the one found, of ``choices``, does.

    ``after`` are the choices that signals change to, where two states are in play at once; ``tested`` is the signal
    whose lamps are all lit, where one is.
    """

    most: Fraction
    exact: bool
    choices: tuple[Choice, ...] = ()
    after: tuple[Choice, ...] = ()
    tested: str = ""


class _Found(Struct, frozen=True):
    """The greatest sum of one group of signals, with the values it was found at."""

    most: Fraction
    exact: bool
    values: Mapping[int, int]


class Search:
    """Looks for the worst of the legal states of a layout, as often as it is asked."""

    def __init__(self, legal: Legal) -> None:
        self._legal = legal

    def state(self, of: Callable[[Choice], Fraction], about: Iterable[int]) -> Worst:
        """Return the worst state for what each signal adds by what it stands at.

        ``about`` are the places of the signals that may add anything, here and below.
        """
        return self._worst(self._once.best(self._amounts(of, about)))

    def test(self, of: Callable[[Choice], Fraction], tested: Mapping[int, Fraction]) -> Worst:
        """Return the worst state while one signal is tested: it adds what is given for it, whatever it stands at.

        What is ``tested`` is by the places of signals, of all that may add anything.
        """
        amounts = self._amounts(of, tested)
        plain = self._once.best(amounts)
        worst, most = self._worst(plain), Fraction(0)
        gains = [(adds - min(amounts[index,].values()), index) for index, adds in tested.items()]
        for gain, index in sorted(gains, reverse=True):
            if gain <= most:
                break
            changed: Amounts = {**amounts, (index,): dict.fromkeys(amounts[index,], tested[index])}
            found = self._once.best(changed)
            total = sum((one.most for one in found), Fraction(0))
            if total - sum((one.most for one in plain), Fraction(0)) > most:
                most = total - sum((one.most for one in plain), Fraction(0))
                worst = self._worst(found, tested=self._legal.signals[index])
        return worst

    def change(self, of: Callable[[Choice, Choice], Fraction], about: Collection[int]) -> Worst:
        """Return the worst of a change from one state to another, for what each signal adds in it."""
        count = len(self._legal.signals)
        amounts: Amounts = {}
        for index in about:
            choices = self._legal.choices[index]
            pairs = ((a, b) for a in range(len(choices)) for b in range(len(choices)))
            amounts[index, index + count] = {(a, b): of(choices[a], choices[b]) for a, b in pairs}
        worst = self._worst(self._twice.best(amounts))
        if worst.exact:
            return worst
        reached = self._climb(of, about)
        exact = reached.exact and reached.most == worst.most
        return replace(worst, exact=exact, choices=reached.choices, after=reached.after)

    def _climb(self, of: Callable[[Choice, Choice], Fraction], about: Collection[int]) -> Worst:
        """Return a change that no other state before it, and none after it, makes worse: there may be a worse one."""
        best = self.state(lambda choice: of(choice, choice), about)
        best = replace(best, after=best.choices)
        while True:
            after = self.state(_beside(best.choices, of), about)
            before = self.state(_beside(after.choices, lambda new, old: of(old, new)), about)
            if before.most <= best.most:
                return best
            best = replace(before, after=after.choices)

    @cached_property
    def _once(self) -> _Net:
        sizes = {index: len(choices) for index, choices in enumerate(self._legal.choices)}
        return _Net(self._legal.allowed, sizes, [(index,) for index in sizes])

    @cached_property
    def _twice(self) -> _Net:
        """The signals before a change, and again after it."""
        count = len(self._legal.signals)
        after = {(one + count, other + count): rows for (one, other), rows in self._legal.allowed.items()}
        sizes = {index: len(choices) for index, choices in enumerate((*self._legal.choices, *self._legal.choices))}
        scopes = [(index, index + count) for index in range(count)]
        return _Net({**self._legal.allowed, **after}, sizes, scopes)

    def _amounts(self, of: Callable[[Choice], Fraction], about: Iterable[int]) -> Amounts:
        """Return what signals add, by their places."""
        return {
            (index,): {(place,): of(choice) for place, choice in enumerate(self._legal.choices[index])}
            for index in about
        }

    def _worst(self, found: Sequence[_Found], tested: str = "") -> Worst:
        """Put the groups together."""
        count = len(self._legal.signals)
        values = {variable: value for one in found for variable, value in one.values.items()}
        before = [self._legal.choices[index][values[index]] for index in range(count) if index in values]
        after = [self._legal.choices[index][values[index + count]] for index in range(count) if index + count in values]
        most = sum((one.most for one in found), Fraction(0))
        exact = all(one.exact for one in found) and not (self._legal.doubtful(before) or self._legal.doubtful(after))
        return Worst(most, exact, tuple(before), tuple(after), tested)


class _Net:
    """Variables with the pairs of values that are allowed, in groups that do not meet.

    What is asked again and again, at each corner and moment, is the worst for the same few signals: what hinders these
    among all others is found once.
    """

    def __init__(
        self,
        allowed: Mapping[tuple[int, int], frozenset[tuple[int, int]]],
        sizes: Mapping[int, int],
        scopes: Iterable[tuple[int, ...]],
    ) -> None:
        groups = apart([*allowed, *scopes])
        self._group = {variable: number for number, group in enumerate(groups) for variable in group}
        tables: list[list[Table]] = [[] for _ in groups]
        for pair, rows in allowed.items():
            tables[self._group[pair[0]]].append(Table(pair, dict.fromkeys(rows, 0)))
        self._hindering = [Hindrances(each, sizes) for each in tables]
        self._between: dict[frozenset[tuple[int, ...]], Hindrance | None] = {}

    def best(self, amounts: Amounts) -> list[_Found]:
        """Return the greatest sum of each group that adds anything."""
        adding: dict[int, Amounts] = {}
        for over, rows in amounts.items():
            if any(rows.values()):
                adding.setdefault(self._group[over[0]], {})[over] = rows
        return [_best(own, self._hindrance(number, own)) for number, own in adding.items()]

    def _hindrance(self, number: int, own: Amounts) -> Hindrance | None:
        """Return what hinders the signals of a group that add anything."""
        key = frozenset(own)
        if key not in self._between:
            self._between[key] = self._hindering[number].between(own)
        return self._between[key]


def _beside(state: Iterable[Choice], of: Callable[[Choice, Choice], Fraction]) -> Callable[[Choice], Fraction]:
    """Return what tells what a choice adds beside a state that is fixed; that comes first in what is asked."""
    known = {choice.signal: choice for choice in state}
    return lambda choice: of(known.get(choice.signal, choice), choice)


def _best(amounts: Amounts, hindrance: Hindrance | None) -> _Found:
    """Return the greatest sum of one group, worked out in whole numbers."""
    unit = lcm(*(amount.denominator for rows in amounts.values() for amount in rows.values()))
    tables = [Table(over, {row: int(amount * unit) for row, amount in rows.items()}) for over, rows in amounts.items()]
    found = greatest([*tables, *hindrance.tables], hindrance.order) if hindrance else None
    if hindrance is None or found is None:  # the sequence contradicts itself: then no pair is taken to hinder
        best = {over: max(rows, key=rows.__getitem__) for over, rows in amounts.items()}
        most = sum((amounts[over][row] for over, row in best.items()), Fraction(0))
        return _Found(most, exact=False, values={})
    values = hindrance.completed(found.values) if found.values else {}
    return _Found(Fraction(found.bound, unit), found.exact, values)
