"""Cases of current in words: what is asked for, when, and by which state."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import counted, listed
from lampwright_wiring import saying
from lampwright_wiring.current.accounts import BOARD, GROUP, SUPPLY

if TYPE_CHECKING:
    from collections.abc import Iterator
    from fractions import Fraction

    from lampwright_wiring.current.demands import Demand
    from lampwright_wiring.current.loads import Case
    from lampwright_wiring.model import Wiring

SHOWN = 4
"""How many signals of a state are named."""
MAY = {SUPPLY: "and gives", BOARD: "and all its outputs may carry", GROUP: "which may carry"}


def asked(over: Demand) -> str:
    """Return a demand with the limit it breaks: ``supply usb is asked for 540 mA in ..., and gives 500 mA``."""
    account = over.account
    amount, limit = _apart(over.current.typical if over.sure else over.current.most, over.limit)
    verb = "is asked for" if account.kind == SUPPLY else "carry" if account.kind == GROUP else "carries"
    when = f"{over.when} of {over.case.tested}" if over.case.tested else over.when
    then = " until it has been asked for more" if over.at_start else ""
    upto = "" if over.sure else "up to "
    return f"{account} {verb} {upto}{amount} {when}, {MAY[account.kind]} {limit}{then}"


def _apart(amount: Fraction, limit: Fraction) -> tuple[str, str]:
    """Return two currents with as many figures as it takes to see that they differ."""
    told = saying.amps(amount), saying.amps(limit)
    return told if told[0] != told[1] else (saying.amps(amount, 6), saying.amps(limit, 6))


def cause(case: Case) -> str:
    """Return the state that causes a case, by the signals that matter; that it is a bound, where it is no more."""
    told = list(_told(case))
    more = len(told) - SHOWN
    state = listed([*told[:SHOWN], *([counted(more, "more signal")] if more > 0 else [])])
    bound = "" if case.exact else "a proven bound: there are too many states to try them all"
    return "; ".join(part for part in (f"as when {state}" if state else "", bound) if part)


def lit_then(wiring: Wiring) -> str:
    """Return which boards light lamps at power-up."""
    lit = {name: wiring.lit_at_power_up(board) for name, board in wiring.boards.items()}
    lamps = [counted(len({lamp for lamp, _ in on}), "lamp") + f" of board {name}" for name, on in lit.items() if on]
    return f"as {listed(lamps)} may be lit until the controller has set them up" if lamps else ""


def _told(case: Case) -> Iterator[str]:
    """Yield what each signal stands at, or changes from and to."""
    after = {choice.signal: choice for choice in case.after}
    for choice in case.choices:
        goes = after.get(choice.signal)
        if goes is not None and goes.says != choice.says:
            yield f"{choice.signal} goes from {choice.says} to {goes.says}"
        else:
            yield str(choice)
