"""A check of what is lit before the controller has set a board up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.findings import Level
from lampwright.words import counted
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright_wiring.model import Board


class LitAtPowerUp(ElectricalCheck):
    """Tells which lamps are lit from power-up until the controller has set their board up.

    Between power-up and its first orders a board shows its own default. Where that lights lamps, every signal shows
    every lamp for a moment, and the supply must stand all of them at once: more than any state of the layout asks.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, drive: sink}}       # expect: lit-at-power-up "all 2 lamps"
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, drive: sink, held-dark: true}, B: {kind: pwm-16, drive: source}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, lamps: [{green: B.0}, {red: B.1}]}

    Limits: a note: the layout works. `held-dark` says that something holds the outputs until they are set, as an enable
    pin on a resistor does.
    """

    name = "lit-at-power-up"
    level = Level.NOTE
    scope = BOARD
    needs = ("wrong-polarity", "mixed-polarity")

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a note for a board whose default lights lamps."""
        from lampwright_wiring import saying

        board, kind = subject.thing, subject.thing.kind
        lit = subject.wiring.lit_at_power_up(board)
        if kind is None or not lit or _too_much_at_power_up(subject):
            return
        takes = sum(feed.draw.total.typical for _, feed in lit if feed.draw.total)
        lamps = dict.fromkeys(lamp for lamp, _ in lit)
        may = "may be" if kind.power_up == "undefined" else "is" if len(lamps) == 1 else "are"
        what = f"all {counted(len(lamps), 'lamp')}" if len(lamps) > 1 else "the lamp"
        yield self.finding(
            f"{what} on board {board.name} {may} lit from power-up until the controller has set it up"
            + (f", together {saying.amps(takes)}" if takes else ""),
            subject.spot("kind"),
            related=(subject.spot("drive", label="lit by outputs that are low"),) if board.drive == "sink" else (),
            citations=(kind.why("power-up"),),
            tip="hold its outputs off till then, and say `held-dark: true`",
        )


def _too_much_at_power_up(subject: About[Board]) -> bool:
    """Tell whether a supply of the board is asked for too much by it: then that is the finding."""
    from lampwright_wiring.current.demands import POWER_UP, too_much
    from lampwright_wiring.current.loads import loads

    found, board = loads(subject.layout), subject.thing
    over = [too_much(found, one) for one in found.supplies if one.name in (board.supply, board.led_supply)]
    return any(one is not None and one.when == POWER_UP for one in over)
