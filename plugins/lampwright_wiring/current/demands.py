"""What is asked of a board or supply at most, by occasion, and which of it is too much."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright_wiring.current.loads import Case

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.current.loads import Loads
    from lampwright_wiring.kinds import Spread

IN_STATE, CHANGING, TESTED, POWER_UP = (
    "in the worst legal state",
    "while aspects change",
    "in a lamp test",
    "at power-up",
)


class Demand(Struct, frozen=True):
    """What an account is asked for on an occasion, and what it may have then."""

    account: Account
    when: str
    case: Case
    limit: Fraction

    @property
    def current(self) -> Spread:
        """The current in A at the corners."""
        return self.case.current

    @property
    def sure(self) -> bool:
        """Whether typical parts are too much already."""
        return self.current.typical > self.limit

    @property
    def at_start(self) -> bool:
        """Whether the limit is what a supply gives before more has been asked for."""
        return self.when == POWER_UP and self.limit == self.account.at_start


def too_much(loads: Loads, account: Account) -> Demand | None:
    """Return the first occasion on which an account is asked for more than it may have, the surest before others.

    Where everything lit at once is not too much, no state is looked for.
    """
    over = [demand for demand in _looked_at(loads, account) if demand.current.most > demand.limit]
    return min(over, key=lambda demand: not demand.sure, default=None)


def demands(loads: Loads, account: Account) -> Iterator[Demand]:
    """Yield what an account is asked for on every occasion for which it has a limit."""
    if account.limit is not None:
        yield Demand(account, IN_STATE, loads.worst(account), account.limit)
        yield Demand(account, CHANGING, loads.changing(account), account.limit)
        yield Demand(account, TESTED, loads.lamp_test(account), account.limit)
    yield from _power_up(loads, account)


def highest(loads: Loads, account: Account) -> Fraction:
    """Return the most that is asked for once the controllers have set their boards up, whatever the occasion."""
    return max(loads.changing(account).current.most, loads.lamp_test(account).current.most)


def _looked_at(loads: Loads, account: Account) -> Iterator[Demand]:
    """Yield the demands that can be too much."""
    if account.limit is not None and loads.all_on(account).most > account.limit:
        yield from demands(loads, account)
    else:
        yield from _power_up(loads, account)


def _power_up(loads: Loads, account: Account) -> Iterator[Demand]:
    """Yield what is asked for at power-up."""
    limits = [limit for limit in (account.at_start, account.limit) if limit is not None]
    if limits:
        yield Demand(account, POWER_UP, Case(loads.power_up(account)), min(limits))
