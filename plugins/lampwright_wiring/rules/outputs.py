"""Checks of outputs: used twice, out of range, kept for something else, or not there where a lamp wants one."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import SIGNAL
from lampwright.findings import Level
from lampwright.plans.model import DUMMY
from lampwright.words import did_you_mean, listed
from lampwright_wiring.places import output_path
from lampwright_wiring.scopes import FORM_FIRST, OUTPUT, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import BoundSignal, Layout
    from lampwright_wiring.model import Board, Used, WiredLamp, Wiring

SOME = 4
"""How many free outputs a tip names."""


class OutputUsedTwice(ElectricalCheck):
    """Finds an output that two lamps hang on which are not always lit together.

    An output is on or off: whatever hangs on it comes and goes as one. On the prototype each lamp has a circuit of its
    own, and on the model two signals on one output show the same lamp at once, right for one of them at most.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}
          HF3:
            form: three-aspect
            lamps:
              - {green: A.3}
              - {yellow: A.4}
              - {red: A.2}             # expect: output-used-twice "A.2 lights red of HF1 and red of HF3"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}
          HF3: {form: position-light, lamps: {upper: A.3, lower: A.3}}

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1:
            form: three-aspect
            lamps: [{green: A.0}, {yellow: A.1}, {red: A.1}]   # expect: output-used-twice "A.1 lights yellow and red"

    Right:

        plan: 1
        rulebook: gb-colour-light
        signals:
          HF1: {form: three-aspect, lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]}

    Limits: two lamps of one signal may share an output if every display of its form lights both or neither, as the two
    whites of a position light; what their currents come to is then counted together. A signal that is `like` another
    has its lamps and not their outputs.
    """

    name = "output-used-twice"
    scope = OUTPUT

    def missing(self, whole: Layout) -> str:
        """Do without boards where a plan names an output twice; no other plan pays for more."""
        lacking = super().missing(whole)
        return "" if lacking and _named_twice(whole.plan.values.get("signals") or {}) else lacking

    def look(self, subject: About[Used]) -> Iterator[Finding]:
        """Yield a finding for an output that lamps of different states share."""
        from lampwright_wiring import saying
        from lampwright_wiring.sharing import strangers

        used, layout = subject.thing, subject.layout
        if not (others := strangers(layout, used)):
            return
        first = used.lamps[0][0]
        yield self.finding(
            f"{used.output} lights {saying.lamps((first, *others))}, which are not always lit together",
            layout.spot(*output_path(layout, others[0], used.output)),
            related=[
                layout.spot(*output_path(layout, lamp, used.output), label="and here") for lamp in (first, *others[1:3])
            ],
            tip=free_outputs(subject.wiring, used.board),
        )


class OutputOutOfRange(ElectricalCheck):
    """Finds a lamp on an output that its board does not have.

    Outputs are counted as the board's kind counts them, mostly from 0: a board of sixteen has 0 to 15.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1:
            form: two-aspect-stop
            lamps: [{green: A.15}, {red: A.16}]     # expect: output-out-of-range "board A has no output 16"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1: {form: two-aspect-stop, lamps: [{green: A.15}, {red: A.14}]}

    Limits: only boards whose kind the parts data know.
    """

    name = "output-out-of-range"
    scope = OUTPUT

    def look(self, subject: About[Used]) -> Iterator[Finding]:
        """Yield a finding for an output that is not there."""
        used = subject.thing
        kind = used.board.kind if used.board else None
        if used.board is None or kind is None or used.output.name in kind.outputs:
            return
        lamp = used.lamps[0][0]
        yield self.finding(
            f"board {used.output.board} has no output {used.output.name}, which lights {lamp.short} of {lamp.signal}",
            subject.layout.spot(*output_path(subject.layout, lamp, used.output)),
            related=(subject.layout.spot(*used.board.path, "kind", label=kind.title), kind.spot("outputs")),
            citations=(kind.why("outputs"),),
            tip=free_outputs(subject.wiring, used.board) or did_you_mean(used.output.name, kind.outputs, "its outputs"),
        )


class KeptOutput(ElectricalCheck):
    """Finds a lamp on an output that is reserved, or that drives a servo.

    A board may keep outputs free for later, and may turn points or arms by servos beside lighting lamps. A servo's
    pulse on a lamp is a glimmer; a lamp's level on a servo sends it against its stop.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 50 Hz, servos: [0, 1], reserved: 12..15}}
        signals:
          HF1:
            form: two-aspect-stop
            lamps:
              green: A.1                            # expect: kept-output "A.1 drives a servo"
              red: A.12                             # expect: kept-output "A.12 is reserved"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, frequency: 50 Hz, servos: [0, 1], reserved: 12..15}}
        signals:
          HF1: {form: two-aspect-stop, lamps: {green: A.2, red: A.3}}

    Limits: what is reserved is taken as said; whether anything hangs there is not known.
    """

    name = "kept-output"
    scope = OUTPUT

    def look(self, subject: About[Used]) -> Iterator[Finding]:
        """Yield a finding for an output that is kept for something else."""
        used = subject.thing
        key = _kept(used)
        if used.board is None or not key:
            return
        lamp = used.lamps[0][0]
        what = "is reserved" if key == "reserved" else "drives a servo"
        yield self.finding(
            f"{used.output} {what}, and is to light {lamp.short} of {lamp.signal} too",
            subject.layout.spot(*output_path(subject.layout, lamp, used.output)),
            related=(subject.layout.spot(*used.board.path, key, label="says the board"),),
            tip=free_outputs(subject.wiring, used.board),
        )


class UnwiredLamp(ElectricalCheck):
    """Finds a lamp or indicator without an output on a signal whose other lamps have theirs.

    A signal that is wired but for one lamp shows nothing where that lamp should be lit: a dark signal, or another
    aspect. A lamp that is meant to stay dark says so with `dummy`. An indicator that a route lights is one of them,
    also if the plan tells nothing else of it.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1:
            form: three-aspect
            stage: built
            lamps: [{green: A.0}, yellow, {red: A.2}]    # expect: unwired-lamp "yellow of HF1 has no output"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF1:
            form: three-aspect
            stage: built
            lamps: [{green: A.0}, {yellow: dummy}, {red: A.2}]
          HF3: {form: three-aspect, lamps: [green, yellow, red]}

    Limits: a signal with no output at all is not wired yet, and nothing is said of it. One that is not built yet gets a
    warning, one that is an error.
    """

    name = "unwired-lamp"
    scope = SIGNAL
    needs = ("dead-fibre", "unknown-indicator", "indicator-beyond-form", "indicator-on-wrong-side", *FORM_FIRST)

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for the lamps of a signal that lack an output."""
        from lampwright_wiring import saying
        from lampwright_wiring.model import bind

        wiring = bind(subject.layout)
        lamps = wiring.by_signal.get(subject.name, [])
        lacking = [lamp for lamp in lamps if (lamp.said or lamp.indicator) and not lamp.dummy and _lacks(lamp)]
        if not lacking or not any(lamp.outputs for lamp in lamps):
            return
        boards = {output.board: wiring.boards.get(output.board) for lamp in lamps for output in lamp.outputs}
        free = " or ".join(filter(None, (free_outputs(wiring, board) for board in boards.values())))
        carry = "" if lacking[0].said else f"say under `carries` of {subject.name} where it is wired"
        yield self.finding(
            f"{saying.lamps(lacking)} {'have' if len(lacking) > 1 else 'has'} no output, and other lamps of it do",
            subject.layout.spot(*lacking[0].path),
            related=[subject.layout.spot(*lamp.path, label="nor has this one") for lamp in lacking[1:4]],
            level=Level.ERROR if lacking[0].built else Level.WARNING,
            tip="; ".join(filter(None, (carry, free))) or "say `dummy` where it is never to be lit",
        )


class DeadFibre(ElectricalCheck):
    """Finds a lamp that a fibre lights from a lamp which is not there, or has no LED itself.

    One LED can light several lamps through fibres; the lamp that has the LED is named, and must have one.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF5:
            form: position-light
            lamps: {upper: A.0, lower: {fibre: uper}}    # expect: dead-fibre "through a fibre from uper"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        signals:
          HF5: {form: position-light, lamps: {upper: A.0, lower: {fibre: upper}}}

    Limits: the other lamp is looked for on the same signal.
    """

    name = "dead-fibre"
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each fibre that leads to no LED."""
        from lampwright_wiring.model import bind

        lamps = bind(subject.layout).by_signal.get(subject.name, [])
        for lamp in lamps:
            if lamp.fibre and not lamp.feeds:
                lit = [other.name for other in lamps if not other.fibre and not other.indicator]
                yield self.finding(
                    f"{lamp.short} of {subject.name} is lit through a fibre from {lamp.fibre}, "
                    "which is no lamp of it with an LED",
                    subject.layout.spot(*lamp.path, "fibre"),
                    tip=did_you_mean(lamp.fibre, lit, "its lamps with LEDs"),
                )


def free_outputs(wiring: Wiring, board: Board | None) -> str:
    """Return a tip that names outputs which are free; empty if the board is not known."""
    if board is None or board.kind is None:
        return ""
    spare = [str(output) for output in wiring.spare(board)]
    if not spare:
        return f"board {board.name} has no output left"
    rest = f" and {len(spare) - SOME} more" if len(spare) > SOME else ""
    named = listed(spare[:SOME]) if not rest else ", ".join(spare[:SOME])
    return f"{named}{rest} {'is' if len(spare) == 1 else 'are'} free"


def _named_twice(signals: Any) -> bool:
    """Tell whether one text stands for the output of two lamps."""
    seen: set[str] = set()
    for said in signals.values():
        lamps = (said or {}).get("lamps") or ()
        rows = lamps if isinstance(lamps, list) else [lamps]
        for wired in (wired for row in rows if isinstance(row, dict) for wired in row.values()):
            output = wired.get("output") if isinstance(wired, dict) else wired
            if isinstance(output, str) and output != DUMMY and output in seen:
                return True
            seen.add(str(output))
    return False


def _kept(used: Used) -> str:
    """Return the key by which a board keeps an output for something else; empty if it does not."""
    if used.board is None:
        return ""
    name = used.output.name
    return "reserved" if name in used.board.reserved else "servos" if name in used.board.servos else ""


def _lacks(lamp: WiredLamp) -> bool:
    """Tell whether something of a lamp has no output."""
    return any(feed.output is None for feed in lamp.feeds)
