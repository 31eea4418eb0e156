"""The worst legal state for a sum: what all signals stand at when it is greatest."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from math import lcm
from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from lampwright_wiring.current.elimination import Table, apart, greatest, taken_out

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

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

    def state(self, of: Callable[[Choice], Fraction]) -> Worst:
        """Return the worst state for what each signal adds by what it stands at."""
        return self._worst(self._once.best(self._amounts(of)))

    def test(self, of: Callable[[Choice], Fraction], tested: Mapping[str, Fraction]) -> Worst:
        """Return the worst state while one signal is tested: it adds what is given for it, whatever it stands at."""
        amounts = self._amounts(of)
        plain = self._once.best(amounts)
        worst, most = self._worst(plain), Fraction(0)
        gains = [(tested[name] - min(amounts[index,].values()), index) for index, name in self._tested(tested)]
        for gain, index in sorted(gains, reverse=True):
            if gain <= most:
                break
            changed: Amounts = {**amounts, (index,): dict.fromkeys(amounts[index,], tested[self._legal.signals[index]])}
            found = self._once.best(changed)
            total = sum((one.most for one in found), Fraction(0))
            if total - sum((one.most for one in plain), Fraction(0)) > most:
                most = total - sum((one.most for one in plain), Fraction(0))
                worst = self._worst(found, tested=self._legal.signals[index])
        return worst

    def change(self, of: Callable[[Choice, Choice], Fraction]) -> Worst:
        """Return the worst of a change from one state to another, for what each signal adds in it."""
        count = len(self._legal.signals)
        amounts: Amounts = {}
        for index, choices in enumerate(self._legal.choices):
            pairs = ((a, b) for a in range(len(choices)) for b in range(len(choices)))
            amounts[index, index + count] = {(a, b): of(choices[a], choices[b]) for a, b in pairs}
        worst = self._worst(self._twice.best(amounts))
        if worst.exact:
            return worst
        reached = self._climb(of)
        exact = reached.exact and reached.most == worst.most
        return replace(worst, exact=exact, choices=reached.choices, after=reached.after)

    def _climb(self, of: Callable[[Choice, Choice], Fraction]) -> Worst:
        """Return a change that no other state before it, and none after it, makes worse: there may be a worse one."""
        best = self.state(lambda choice: of(choice, choice))
        best = replace(best, after=best.choices)
        while True:
            after = self.state(_beside(best.choices, of))
            before = self.state(_beside(after.choices, lambda new, old: of(old, new)))
            if before.most <= best.most:
                return best
            best = replace(before, after=after.choices)

    @cached_property
    def _once(self) -> _Net:
        count = len(self._legal.signals)
        return _Net(self._legal.allowed, [(index,) for index in range(count)])

    @cached_property
    def _twice(self) -> _Net:
        """The signals before a change, and again after it."""
        count = len(self._legal.signals)
        after = {(one + count, other + count): rows for (one, other), rows in self._legal.allowed.items()}
        return _Net({**self._legal.allowed, **after}, [(index, index + count) for index in range(count)])

    def _amounts(self, of: Callable[[Choice], Fraction]) -> Amounts:
        """Return what each signal adds, by its place."""
        every = enumerate(self._legal.choices)
        return {(index,): {(place,): of(choice) for place, choice in enumerate(choices)} for index, choices in every}

    def _tested(self, tested: Mapping[str, Fraction]) -> Iterable[tuple[int, str]]:
        return ((index, name) for index, name in enumerate(self._legal.signals) if name in tested)

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
    """Variables with the pairs of values that are allowed, in groups that do not meet."""

    def __init__(
        self, allowed: Mapping[tuple[int, int], frozenset[tuple[int, int]]], scopes: Iterable[tuple[int, ...]]
    ) -> None:
        hindering = [Table(pair, dict.fromkeys(rows, 0)) for pair, rows in allowed.items()]
        every = [*(table.over for table in hindering), *scopes]
        self._groups = []
        for group in apart(every):
            order = taken_out(scope for scope in every if group.issuperset(scope))
            self._groups.append((order, [table for table in hindering if group.issuperset(table.over)]))

    def best(self, amounts: Amounts) -> list[_Found]:
        """Return the greatest sum of each group that adds anything."""
        found = []
        for order, hindering in self._groups:
            own = {over: rows for over, rows in amounts.items() if over[0] in order}
            if any(amount for rows in own.values() for amount in rows.values()):
                found.append(_best(own, hindering, order))
        return found


def _beside(state: Iterable[Choice], of: Callable[[Choice, Choice], Fraction]) -> Callable[[Choice], Fraction]:
    """Return what tells what a choice adds beside a state that is fixed; that comes first in what is asked."""
    known = {choice.signal: choice for choice in state}
    return lambda choice: of(known.get(choice.signal, choice), choice)


def _best(amounts: Amounts, hindering: Sequence[Table], order: Sequence[int]) -> _Found:
    """Return the greatest sum of one group, worked out in whole numbers."""
    unit = lcm(*(amount.denominator for rows in amounts.values() for amount in rows.values()))
    tables = [Table(over, {row: int(amount * unit) for row, amount in rows.items()}) for over, rows in amounts.items()]
    found = greatest([*tables, *hindering], order)
    if found is None:  # what the sequence asks contradicts itself: then no pair is taken to hinder
        best = {over: max(rows, key=rows.__getitem__) for over, rows in amounts.items()}
        most = sum((amounts[over][row] for over, row in best.items()), Fraction(0))
        return _Found(most, exact=False, values={})
    return _Found(Fraction(found.bound, unit), found.exact, found.values or {})
