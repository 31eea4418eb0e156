"""The current of every output, board and supply of a layout: in the worst legal state, and all that goes beyond one."""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from itertools import compress
from operator import attrgetter
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright_wiring.current import accounts
from lampwright_wiring.current.lighting import all_of, wired
from lampwright_wiring.current.rhythm import STEADY, in_time, moments, rhythm
from lampwright_wiring.current.states import legal
from lampwright_wiring.current.worst import Search
from lampwright_wiring.kinds import ZERO, Spread
from lampwright_wiring.model import bind

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lampwright.layout import Layout
    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.current.lighting import Lit
    from lampwright_wiring.current.rhythm import Rhythm
    from lampwright_wiring.current.states import Choice, Legal
    from lampwright_wiring.current.worst import Worst
    from lampwright_wiring.model import Output, WiredLamp, Wiring

    Corner = Callable[[Spread], Fraction]
    Taken = Mapping[str, Fraction]

CORNERS: Final[tuple[Corner, ...]] = (attrgetter("least"), attrgetter("typical"), attrgetter("most"))


class Case(Struct, frozen=True):
    """The current in A of one case at the corners of forward and supply voltage; nothing legal takes more.

    ``exact`` tells that each figure is reached; else it is a proven bound. ``choices`` is the state that causes the
    greatest, by the signals that take current in it (``after`` what they change to, ``tested`` the one whose lamps are
    all lit); empty where none is known to reach the bound.
    """

    current: Spread
    exact: bool = True
    choices: tuple[Choice, ...] = ()
    after: tuple[Choice, ...] = ()
    tested: str = ""


class Loads:
    """All currents of a layout, each worked out when it is asked for.

    A dimmed lamp counts in full wherever a limit is at stake: outputs of a board begin their pulses together.
    """

    def __init__(self, layout: Layout, wiring: Wiring) -> None:
        self._layout = layout
        self._wiring = wiring
        self._cases: dict[tuple[str, Account], Case] = {}

    @cached_property
    def outputs(self) -> tuple[Account, ...]:
        """Every output that is used."""
        return tuple(accounts.outputs(self._wiring))

    @cached_property
    def boards(self) -> tuple[Account, ...]:
        """Every board, followed by its groups of outputs that have limits of their own."""
        return tuple(accounts.boards(self._wiring))

    @cached_property
    def supplies(self) -> tuple[Account, ...]:
        """Every supply."""
        return tuple(accounts.supplies(self._wiring))

    @cached_property
    def legal(self) -> Legal:
        """What every signal may stand at."""
        return legal(self._layout, self._wiring)

    def all_on(self, account: Account) -> Spread:
        """Return the sum of everything lit at once, as nothing but a slip of a program would light it."""
        return _total(account, self._every)

    def power_up(self, account: Account) -> Spread:
        """Return what is taken from power-up until the controllers have set their boards up."""
        return _total(account, self._lit_at_power_up)

    def worst(self, account: Account) -> Case:
        """Return the worst legal state, pulses and flashes at their height."""
        return self._once("worst", account, lambda taken: self._highest(taken, self._state))

    def mean(self, account: Account, dimmed: Fraction = Fraction(1)) -> Case:
        """Return the legal state whose mean over pulses and flashes is greatest; ``dimmed`` lowers every level."""
        rhythms = self._rhythms

        def mean(one: Lit) -> Fraction:
            return rhythms[one.light, one.state].mean(one.level * dimmed)

        return self._case(
            account,
            lambda taken: self._state(
                lambda choice: sum((taken[one.light] * mean(one) for one in choice.lit if one.light in taken), ZERO),
                taken,
            ),
        )

    def changing(self, account: Account) -> Case:
        """Return the worst moment of a change from one legal state to another, lamps that fade still lit."""
        fading = self._fading
        if fading.isdisjoint(account.takes):
            return self.worst(account)
        return self._once(
            "changing", account, lambda taken: self._search.change(_changes(taken, fading), self._about(taken))
        )

    def lamp_test(self, account: Account) -> Case:
        """Return the worst while all lamps of one signal are tested, the others in a legal state."""

        def worst(taken: Taken) -> Worst:
            names = {index: self.legal.signals[index] for index in self._about(taken)}
            tested = {
                index: sum((taken[light] for light in self._by_signal.get(name, ()) if light in taken), ZERO)
                for index, name in names.items()
            }
            return self._highest(taken, lambda of, _: self._search.test(of, tested))

        return self._once("lamp test", account, worst)

    def _state(self, of: Callable[[Choice], Fraction], taken: Taken) -> Worst:
        """Return the worst state for what choices add, of signals that take anything."""
        return self._search.state(of, self._about(taken))

    def _about(self, taken: Taken) -> tuple[int, ...]:
        """Return the places of the signals that take anything."""
        return tuple(sorted({index for light in taken for index in self._lighting.get(light, ())}))

    @cached_property
    def _lighting(self) -> dict[str, set[int]]:
        """By light the places of the signals that light it, in a state or in a test."""
        found: dict[str, set[int]] = {}
        for index, (name, choices) in enumerate(zip(self.legal.signals, self.legal.choices, strict=True)):
            for light in (*self._by_signal.get(name, ()), *(one.light for choice in choices for one in choice.lit)):
                found.setdefault(light, set()).add(index)
        return found

    def _highest(self, taken: Taken, search: Callable[[Callable[[Choice], Fraction], Taken], Worst]) -> Worst:
        """Return the worst that a search finds at any moment of a flash."""
        found = [search(self._at(moment, taken), taken) for moment in self._moments]
        return max(found, key=lambda worst: worst.most)

    def _at(self, moment: int | None, taken: Taken) -> Callable[[Choice], Fraction]:
        """Return what tells the current of a choice at a moment of a flash; None is when all that flash are lit."""
        rhythms = self._rhythms

        def of(choice: Choice) -> Fraction:
            lit = (one for one in choice.lit if one.light in taken)
            now = (one for one in lit if moment is None or rhythms[one.light, one.state].lit_at(moment))
            return sum((taken[one.light] for one in now), ZERO)

        return of

    def _once(self, case: str, account: Account, worst: Callable[[Taken], Worst]) -> Case:
        """Return a case of an account, worked out when it is first asked for."""
        if (case, account) not in self._cases:
            self._cases[case, account] = self._case(account, worst)
        return self._cases[case, account]

    def _case(self, account: Account, worst: Callable[[Taken], Worst]) -> Case:
        """Return a case from what is the worst at each corner; the state is that of the greatest current."""
        takes = account.takes.items()
        found = [worst({light: corner(spread) for light, spread in takes}) for corner in CORNERS]
        current = Spread(*(one.most for one in found)).plus(account.own)
        state = found[-1]
        named = [any(one.light in account.takes for one in choice.lit) for choice in state.choices]
        if state.after:
            also = [any(one.light in account.takes for one in choice.lit) for choice in state.after]
            named = [one or other for one, other in zip(named, also, strict=True)]
        return Case(
            current,
            all(one.exact for one in found),
            tuple(compress(state.choices, named)),
            tuple(compress(state.after, named)),
            state.tested,
        )

    @cached_property
    def _by_signal(self) -> dict[str, list[str]]:
        """The lights of every signal that can be lit at once."""
        return {name: [one.light for one in all_of(of)] for name, of in self._wiring.by_signal.items()}

    @cached_property
    def _every(self) -> frozenset[str]:
        """All lights that can be lit at once."""
        return frozenset(light for lights in self._by_signal.values() for light in lights)

    @cached_property
    def _lit_at_power_up(self) -> frozenset[str]:
        """The lights that are lit until the controllers have set their boards up."""
        boards = self._wiring.boards.values()
        return frozenset(feed.light for board in boards for _, feed in self._wiring.lit_at_power_up(board))

    @cached_property
    def _search(self) -> Search:
        return Search(self.legal)

    @cached_property
    def _rhythms(self) -> dict[tuple[str, str], Rhythm]:
        """How lights are lit in each of the states they can have."""
        found: dict[tuple[str, str], Rhythm] = {}
        for name, choices in zip(self.legal.signals, self.legal.choices, strict=True):
            signal = self._layout.signals.get(name)
            for one in (one for choice in choices for one in choice.lit):
                found[one.light, one.state] = rhythm(signal.rulebook if signal else None, one.state)
        return found

    @cached_property
    def _moments(self) -> tuple[int | None, ...]:
        """The moments of a flash to look at; only None, all lit together, where flashes do not keep time."""
        flashing = {key: one for key, one in self._rhythms.items() if one != STEADY}
        boards = {self._wiring.boards.get(output.board) for light, _ in flashing if (output := self._outputs[light])}
        if len({board and board.controller for board in boards}) > 1 or not in_time(flashing.values()):
            return (None,)
        return moments(flashing.values())

    @cached_property
    def _outputs(self) -> dict[str, Output | None]:
        """The output of each light."""
        return {feed.light: feed.output for lamp in self._wiring.lamps for feed in lamp.feeds}

    @cached_property
    def _fading(self) -> frozenset[str]:
        """The lights of which the plan says that they fade."""
        fading = (lamp for lamp in self._wiring.lamps if fades(self._layout, lamp))
        return frozenset(feed.light for lamp in fading for feed in wired(lamp))


def loads(layout: Layout) -> Loads:
    """Return the currents of a layout."""
    if "loads" not in layout.cache:
        layout.cache["loads"] = Loads(layout, bind(layout))
    found: Loads = layout.cache["loads"]
    return found


def fades(layout: Layout, lamp: WiredLamp) -> bool:
    """Tell whether the plan says that a lamp fades, or its signal."""
    return "fades" in lamp.detail or "fades" in layout.plan.signals[lamp.signal].rest


def _total(account: Account, lights: frozenset[str]) -> Spread:
    """Return what some lights take together, with what the account has of its own."""
    taken = [spread for light, spread in account.takes.items() if light in lights]
    return Spread(*(sum(map(corner, taken), corner(account.own)) for corner in CORNERS))


def _changes(taken: Taken, fading: frozenset[str]) -> Callable[[Choice, Choice], Fraction]:
    """Return what tells the current of a change: what fades is lit with what comes, all else at once, one or other."""

    def of(before: Choice, after: Choice) -> Fraction:
        old, new = ({one.light for one in choice.lit if one.light in taken} for choice in (before, after))
        return sum((taken[light] for light in old | (new & fading)), ZERO)

    return of
