"""Loads and headroom: what outputs, boards and supplies carry on every occasion, and which state asks most of them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright_wiring.current.accounts import BOARD, GROUP
from lampwright_wiring.current.demands import demands
from lampwright_wiring.current.loads import loads
from lampwright_wiring.current.telling import lit_then
from lampwright_wiring.lists.tables import AMPS, Column, Table

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.layout import Layout
    from lampwright_wiring.current.accounts import Account
    from lampwright_wiring.current.loads import Case, Loads
    from lampwright_wiring.model import Wiring

SUMS: Final = (
    Column("name", "where"),
    Column("limit", "limit", AMPS, means="what may be asked of it"),
    Column("at-start", "start", AMPS, means="what may be asked of it before it is agreed on more"),
    Column("own", "own", AMPS, means="what boards and controllers take themselves"),
    Column("typical", "usual", AMPS, means="in the worst legal state, with typical parts"),
    Column("most", "worst", AMPS, means="in the worst legal state"),
    Column("change", "change", AMPS, means="while aspects change"),
    Column("test", "test", AMPS, means="in a lamp test of one signal"),
    Column("power-up", "power-up", AMPS, means="until the controller has set its outputs"),
    Column("all-on", "all on", AMPS, means="with everything lit at once, which never happens"),
    Column("mean", "mean", AMPS, means="usual, over pulses and flashes"),
    Column("left", "left", AMPS, means="what is left of the limit on the worst occasion"),
    Column("figures", "figures", usual="exact"),
)
SUMS_NOTE: Final = "In mA; where it does not say usual, in the worst corner of LEDs and supply."
EXACT: Final = "All figures are exact: a state reaches each."
BOUNDS: Final = "Where it says so they are proven bounds, else exact: a state reaches each."
STATES: Final = (
    Column("name", "where"),
    Column("when", "when"),
    Column("most", "mA", AMPS),
    Column("state", "the state that asks most"),
)
OUTPUTS: Final = (
    Column("output", "output"),
    Column("lamps", "lights"),
    Column("typical", "typical", AMPS),
    Column("most", "worst", AMPS),
    Column("limit", "limit", AMPS),
    Column("left", "left", AMPS),
)


def tables(layout: Layout, wiring: Wiring) -> Iterator[Table]:
    """Yield what is carried: sums of supplies and boards, the states that ask most, single outputs."""
    found = loads(layout)
    sums = (*found.supplies, *found.boards)
    rows = tuple(_sum(found, account) for account in sums)
    proof = EXACT if all(row["figures"] == "exact" for row in rows) else BOUNDS
    yield Table("loads", "Loads", SUMS, rows, f"{SUMS_NOTE} {proof}")
    lit = lit_then(wiring)
    yield Table("states", "Worst states", STATES, tuple(row for one in sums for row in _states(found, one, lit)))
    lamps = {str(used.output): [lamp.label for lamp, _ in used.lamps] for used in wiring.used}
    accounts = {account.name: account for account in found.outputs}
    singles = tuple(_output(found, accounts[str(output)], lamps[str(output)]) for output in wiring.in_order)
    yield Table("outputs", "Outputs", OUTPUTS, singles, "mA, while lit; typical parts, then the worst corner.")


def uncounted(layout: Layout) -> list[str]:
    """Return the lamps, boards and controllers of which a plan does not say what they take; sums are short of them."""
    found = loads(layout)
    return list(dict.fromkeys(name for account in (*found.supplies, *found.boards) for name in account.unknown))


def _sum(found: Loads, account: Account) -> dict[str, Any]:
    """Return the row of one supply, board, or group of outputs."""
    worst, change, test = found.worst(account), found.changing(account), found.lamp_test(account)
    left = [demand.limit - demand.current.most for demand in demands(found, account)]
    exact = all(case.exact for case in (worst, change, test))
    return {
        "name": str(account),
        "limit": account.limit,
        "at-start": account.at_start,
        "own": None if account.kind in (BOARD, GROUP) else account.own.most,
        "typical": worst.current.typical,
        "most": worst.current.most,
        "change": change.current.most,
        "test": test.current.most,
        "power-up": found.power_up(account).most,
        "all-on": found.all_on(account).most,
        "mean": found.mean(account).current.typical,
        "left": min(left, default=None),
        "figures": "exact" if exact else "bounds",
    }


def _states(found: Loads, account: Account, lit: str) -> Iterator[dict[str, Any]]:
    """Yield the states that ask most of one account: standing, and those that ask more; ``lit`` is so at power-up."""
    worst, change, test = found.worst(account), found.changing(account), found.lamp_test(account)
    yield _state(account, "standing", worst)
    if change.current.most > worst.current.most:
        yield _state(account, "changing", change)
    if test.current.most > worst.current.most:
        yield _state(account, f"lamp test of {test.tested}", test)
    starting = found.power_up(account).most
    if starting > account.own.most:
        yield {"name": str(account), "when": "power-up", "most": starting, "state": lit}


def _state(account: Account, when: str, case: Case) -> dict[str, Any]:
    """Return the row of one case; a bound that no state is known to reach says so."""
    bound = () if case.exact else ("a proven bound, for there are too many states to try them all",)
    return {"name": str(account), "when": when, "most": case.current.most, "state": "; ".join((*_stands(case), *bound))}


def _stands(case: Case) -> Iterator[str]:
    """Yield what each signal stands at, and what it changes to."""
    after = {choice.signal: choice.says for choice in case.after}
    for choice in case.choices:
        then = after.get(choice.signal, choice.says)
        yield f"{choice.signal}: {choice.says}" + (f", then {then}" if then != choice.says else "")


def _output(found: Loads, account: Account, lamps: Iterable[str]) -> Mapping[str, Any]:
    """Return the row of one output: what hangs on it is lit together, or one colour at a time."""
    lit = found.all_on(account)
    return {
        "output": account.name,
        "lamps": ", ".join(dict.fromkeys(lamps)),
        "typical": None if account.unknown else lit.typical,
        "most": None if account.unknown else lit.most,
        "limit": account.limit,
        "left": None if account.limit is None or account.unknown else account.limit - lit.most,
    }
