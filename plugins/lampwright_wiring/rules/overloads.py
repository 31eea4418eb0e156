"""Checks of sums of current: boards and supplies in the worst legal state, while lamps are tested, and at power-up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.findings import Level
from lampwright_wiring.fitting import wrong_supply
from lampwright_wiring.scopes import BOARD, SUPPLY, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Citation, Finding
    from lampwright_wiring.current.demands import Demand
    from lampwright_wiring.model import Board, Supply

SHOWN = 3
"""How many signals of a state are pointed to."""


class BoardOverloaded(ElectricalCheck):
    """Finds boards whose outputs together carry more than the board may.

    Every output of a board may be within its limit and all of them together be too much: their current runs through the
    same few conductors. What counts is the worst of all states that the rulebook and the routes allow, the moment when
    one aspect fades into another, a lamp test of one signal, and what is lit at power-up.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards:
          A: {kind: shift-register-8, supply: five, drive: sink, held-dark: true}  # expect: board-overloaded "75 mA"
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 160 ohm}, green: {kind: traffic-green-3mm, resistor: 100 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, lamps: [{green: A.2}, {red: A.3}]}
          HF5: {form: two-aspect-stop, lamps: [{green: A.4}, {red: A.5}]}
          HF7: {form: two-aspect-stop, lamps: [{green: A.6}, {red: A.7}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: shift-register-8, supply: five, drive: sink, held-dark: true}}
        supplies: {five: {voltage: 5 V}}
        leds: {red: {kind: red-3mm, resistor: 330 ohm}, green: {kind: traffic-green-3mm, resistor: 220 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, lamps: [{green: A.2}, {red: A.3}]}
          HF5: {form: two-aspect-stop, lamps: [{green: A.4}, {red: A.5}]}
          HF7: {form: two-aspect-stop, lamps: [{green: A.6}, {red: A.7}]}

    Limits: an error where typical parts are too much, a warning where only the worst corner of LED and supply is. A
    dimmed lamp counts in full, for outputs begin their pulses together. Servos are not counted.
    """

    name = "board-overloaded"
    scope = BOARD
    needs = ("output-overloaded", "resistor-too-small", "voltage-out-of-range")

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a board that carries too much, or for the first group of its outputs that does."""
        from lampwright_wiring.current.demands import too_much
        from lampwright_wiring.current.loads import loads
        from lampwright_wiring.current.ways_out import of_board

        found = loads(subject.layout)
        accounts = (account for account in found.boards if account.name == subject.thing.name)
        if wrong_supply(subject.wiring, subject.thing) is not None:
            return
        over = next((over for account in accounts if (over := too_much(found, account))), None)
        if over is not None:
            kind, datum = subject.thing.kind, ("limits", "package") if over.account.kind == "board" else ("groups",)
            why = (kind.why(*datum),) if kind is not None else ()
            yield _finding(self, subject, over, "kind", why=why, tip=of_board(subject.wiring, found, over))


class SupplyOverloaded(ElectricalCheck):
    """Finds supplies that are asked for more than they give.

    A supply that is asked for too much lets its voltage fall or switches off, and a USB port with it the computer's
    other devices. What counts is the worst of all states that the rulebook and the routes allow, with what boards and
    controllers take for themselves; the moment when one aspect fades into another; a lamp test of one signal; and
    what is lit at power-up, until then a USB port may give no more than it gives to anybody.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {kind: microcontroller-8bit, supply: usb}}
        boards: {A: {kind: pwm-16, controller: east, drive: sink, held-dark: true}}
        supplies: {usb: {kind: usb-low-power}}          # expect: supply-overloaded "105 mA"
        leds: {red: {kind: red-3mm, resistor: 200 ohm}, green: {kind: traffic-green-3mm, resistor: 150 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, lamps: [{green: A.2}, {red: A.3}]}
          HF5: {form: two-aspect-stop, lamps: [{green: A.4}, {red: A.5}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {kind: microcontroller-8bit, supply: usb}}
        boards: {A: {kind: pwm-16, controller: east, drive: sink, held-dark: true}}
        supplies: {usb: {kind: usb-2}}
        leds: {red: {kind: red-3mm, resistor: 200 ohm}, green: {kind: traffic-green-3mm, resistor: 150 ohm}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, lamps: [{green: A.2}, {red: A.3}]}
          HF5: {form: two-aspect-stop, lamps: [{green: A.4}, {red: A.5}]}

    Limits: an error where typical parts are too much, a warning where only the worst corner of LED and supply is, or
    only what a port gives at power-up. A dimmed lamp counts in full. Servos, and what a converter loses, are not
    counted; neither are lamps of which the plan does not say enough.
    """

    name = "supply-overloaded"
    scope = SUPPLY
    asks = ("supplies",)
    needs = ("resistor-too-small", "supply-not-extra-low")

    def look(self, subject: About[Supply]) -> Iterator[Finding]:
        """Yield a finding for a supply that is asked for too much."""
        from lampwright_wiring import saying
        from lampwright_wiring.current.demands import too_much
        from lampwright_wiring.current.loads import loads
        from lampwright_wiring.current.ways_out import of_supply

        found, supply = loads(subject.layout), subject.thing
        accounts = (account for account in found.supplies if account.name == supply.name)
        boards = (board for board in subject.wiring.boards.values() if supply.name in (board.supply, board.led_supply))
        if any(wrong_supply(subject.wiring, board) is not None for board in boards):
            return
        over = next((over for account in accounts if (over := too_much(found, account))), None)
        if over is not None:
            said = _said(subject, over)
            datum = "at-start" if over.at_start else "limit"
            why = (supply.kind.why(datum),) if supply.kind is not None and said == "kind" else ()
            tip = "; ".join(part for part in (of_supply(subject.wiring, found, over), saying.CAUTION) if part)
            yield _finding(self, subject, over, said, why=why, tip=tip)


def _said(subject: About[Supply], over: Demand) -> str:
    """Return the key that says what a supply may be asked for."""
    supply = subject.thing
    if over.limit == supply.fuse:
        return "fuse"
    own = subject.layout.plan.values["supplies"][supply.name] or {}
    return "limit" if "limit" in own and not over.at_start else "kind"


def _finding(  # noqa: PLR0913  (each part of a finding is said where it is made)
    check: ElectricalCheck, subject: About[Any], over: Demand, said: str, *, why: tuple[Citation, ...], tip: str
) -> Finding:
    """Return the finding for what is asked of a board or supply, at the key that says what it may be asked for."""
    from lampwright_wiring.current.demands import POWER_UP
    from lampwright_wiring.current.telling import asked, cause, lit_then

    layout = subject.layout
    signals = dict.fromkeys(choice.signal for choice in over.case.choices if choice.signal in layout.signals)
    return check.finding(
        asked(over),
        subject.spot(said),
        related=[layout.signals[name].spot(label="lit then") for name in list(signals)[:SHOWN]],
        citations=why,
        because=lit_then(subject.wiring) if over.when == POWER_UP else cause(over.case),
        tip=tip,
        level=Level.ERROR if over.sure and not over.at_start else Level.WARNING,
    )
