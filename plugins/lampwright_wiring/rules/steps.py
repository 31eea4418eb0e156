"""Checks of what happens together: lamps that flash as one, and the steps of a fade."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import PLAN, SIGNAL
from lampwright.findings import Level
from lampwright.words import listed
from lampwright_wiring.scopes import ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.model import WiredLamp, Wiring


class LampsOutOfStep(ElectricalCheck):
    """Finds lamps that flash together in one aspect and hang on boards of different controllers.

    Two lamps of one head flash as one. Each controller counts time for itself, and two of them drift apart within
    minutes: the lamps would flash in turns, which is no aspect.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1990
        controllers: {east: {}, west: {}}
        boards: {A: {kind: pwm-16, controller: east}, B: {kind: pwm-16, controller: west}}
        signals:
          HF1:
            form: four-aspect
            lamps:
              - {yellow: A.0}
              - {green: A.1}
              - {yellow: B.0}       # expect: lamps-out-of-step "upper-yellow and lower-yellow of HF1 flash together"
              - {red: A.2}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1990
        controllers: {east: {}}
        boards: {A: {kind: pwm-16, controller: east}, B: {kind: pwm-16, controller: east}}
        signals:
          HF1: {form: four-aspect, lamps: [{yellow: A.0}, {green: A.1}, {yellow: B.0}, {red: A.2}]}

    Limits: lamps of one signal only. Aspects that the signal is not meant to give (`gives`) are left out.
    """

    name = "lamps-out-of-step"
    level = Level.WARNING
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for the first aspect whose flashing lamps cannot keep step."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind

        wiring, form = bind(subject.layout), subject.reader
        lamps = wiring.by_signal.get(subject.name, [])
        for aspect in form.gives if form is not None else ():
            if subject.entry.gives and aspect not in subject.entry.gives:
                continue
            for display in form.displays(aspect) if form is not None else ():
                flashing = [lamp for lamp in lamps if lamp.state(display) not in ("", "lit")]
                by = {name: lamp for lamp in flashing for name in _controllers(wiring, lamp)}
                if len(by) > 1:
                    last = list(by.values())[-1]
                    yield self.finding(
                        f"{saying.lamps(flashing)} flash together for {aspect}, and hang on boards of "
                        f"{listed(by)}, which cannot keep step",
                        subject.layout.spot(*last.path),
                        related=[
                            subject.layout.spot(*lamp.path, label="and this") for lamp in flashing if lamp != last
                        ],
                        tip="hang the lamps of a head on boards of one controller",
                    )
                    return


class SlowFadeStep(ElectricalCheck):
    """Finds a controller whose fades step faster than its bus can set the outputs of its boards.

    Setting every output of a board takes its time on the bus. If a step of a fade is shorter, lamps lag, each a little
    more than the one before it, and a change of aspect is smeared over the layout.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {bus: 100 kHz, step: 10 ms}}    # expect: slow-fade-step "11.9 ms"
        boards:
          A: {kind: pwm-16, controller: east, address: 0x40}
          B: {kind: pwm-16, controller: east, address: 0x41}

    Right:

        plan: 1
        rulebook: gb-colour-light
        controllers: {east: {bus: 400 kHz, step: 10 ms}}
        boards:
          A: {kind: pwm-16, controller: east, address: 0x40}
          B: {kind: pwm-16, controller: east, address: 0x41}

    Limits: counts the time to set all outputs of all boards of the controller; a program that sends changes only is
    faster most of the time, and not when much changes at once.
    """

    name = "slow-fade-step"
    level = Level.WARNING
    scope = PLAN
    asks = ("boards", "controllers")

    def look(self, subject: Layout) -> Iterator[Finding]:
        """Yield a finding for each controller whose step is too short."""
        from lampwright_wiring import pulses, saying
        from lampwright_wiring.model import bind

        wiring = bind(subject)
        for name, controller in wiring.controllers.items():
            takes = pulses.refresh_time(wiring, name)
            if takes is None or controller.step is None or takes <= controller.step:
                continue
            boards = [board for board in wiring.boards.values() if board.controller == name]
            yield self.finding(
                f"a fade of {name} steps every {saying.seconds(controller.step)}, and setting all outputs of "
                f"{listed(board.name for board in boards)} takes {saying.seconds(takes)}",
                subject.spot(*controller.path, "step"),
                citations=[board.kind.why("refresh") for board in boards[:1] if board.kind],
                tip=f"steps of {saying.seconds(takes)} or more, or a faster bus",
            )


def _controllers(wiring: Wiring, lamp: WiredLamp) -> list[str]:
    """Return the controllers of the boards a lamp hangs on, as far as they are said."""
    boards = [wiring.boards[output.board] for output in lamp.outputs if output.board in wiring.boards]
    return [board.controller for board in boards if board.controller]
