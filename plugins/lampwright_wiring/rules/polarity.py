"""Checks of polarity: heads and LEDs against the boards that drive them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import SIGNAL
from lampwright.findings import Level
from lampwright.words import listed
from lampwright_wiring.scopes import BOARD, About, ElectricalCheck

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path, Spot
    from lampwright.layout import BoundSignal
    from lampwright_wiring.model import Board, Feed, WiredLamp, Wiring

WORD = {"sink": "common-anode", "source": "common-cathode"}
"""Heads that can be driven so."""


class WrongPolarity(ElectricalCheck):
    """Finds a head whose LEDs face the other way than its board drives.

    A common-anode head is lit by outputs that take current in, a common-cathode head by outputs that give it. The
    wrong way round, lamps are lit when they should be dark, or can never be lit at all: an output with an open drain
    gives nothing.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: power-shift-register-8, held-dark: true}}
        signals:
          HF1:
            form: two-aspect-stop
            wiring: common-cathode           # expect: wrong-polarity "HF1 is common-cathode"
            lamps: [{green: A.0}, {red: A.1}]

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16, drive: source}}
        signals:
          HF1: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.0}, {red: A.1}]}

    Limits: looks where both are said: the head's `wiring` (or the common lead of its kind of LED), and the board's
    `drive`, its driver, or a kind that can drive one way only.
    """

    name = "wrong-polarity"
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each board that drives lamps of the signal the wrong way."""
        from lampwright_wiring.model import bind

        wiring = bind(subject.layout)
        wrong: dict[Path, list[tuple[WiredLamp, Feed]]] = {}
        for lamp, feed in _wired(wiring, subject.name):
            board = wiring.boards.get(feed.output.board) if feed.output else None
            wanted = _way(lamp, feed)
            if board is not None and wanted and feed.draw.way not in ("", wanted) and not feed.load.both_ways:
                path = (*lamp.path, "wiring") if "wiring" in lamp.detail else subject.entry.at("wiring")
                wrong.setdefault(path, []).append((lamp, feed))
        for path, found in wrong.items():
            boards = dict.fromkeys(wiring.boards[feed.output.board] for _, feed in found if feed.output)
            yield self._wrong(subject, list(boards), path, found)

    def _wrong(
        self, signal: BoundSignal, boards: list[Board], path: Path, found: list[tuple[WiredLamp, Feed]]
    ) -> Finding:
        """Return the finding for the lamps of a signal whose polarity is said in one place."""
        lamp, feed = found[0]
        way, board = feed.draw.way, boards[0]
        never = board.kind is not None and board.kind.drives == (way,)
        what = f"{signal.name} is" if len({one for one, _ in found}) > 1 else f"{lamp.short} of {signal.name} is"
        return self.finding(
            f"{what} {WORD['source' if way == 'sink' else 'sink']}, and the outputs of "
            f"{listed(one.name for one in boards)} {'take current in' if way == 'sink' else 'give current'}: "
            f"its lamps {'can never be lit' if never else 'would be lit when they should be dark'}",
            signal.layout.spot(*path),
            related=[_drive_spot(signal, one, way) for one in boards],
            citations=(board.kind.why("drives"),) if board.kind is not None and never else (),
            tip=_other_way(board, way),
        )


class WrongCommonLead(ElectricalCheck):
    """Finds an LED of several colours whose common lead is not the one its head is wired for.

    An LED with three leads has a common anode or a common cathode. In a head that is wired the other way no colour of
    it can be lit.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        leds: {red: {kind: red-green-3mm-common-anode, current: 5 mA}}
        supplies: {five: {voltage: 5 V}}
        signals:
          HF1:
            form: two-aspect-stop
            wiring: common-cathode
            lamps: [{green: A.0}, {red: A.1}]     # expect: wrong-common-lead "an LED with a common anode"

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}
        leds: {red: {kind: red-green-3mm-common-cathode, current: 5 mA}}
        supplies: {five: {voltage: 5 V}}
        signals:
          HF1: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.0}, {red: A.1}]}

    Limits: only kinds of LED whose leads the parts data know.
    """

    name = "wrong-common-lead"
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for each lamp whose LED does not suit its head."""
        from lampwright_wiring.model import WAY_OF, bind

        for lamp, feed in _wired(bind(subject.layout), subject.name):
            package = feed.load.package
            if package is None or package.leads not in WAY_OF or lamp.polarity not in WAY_OF:
                continue
            if package.leads != lamp.polarity:
                yield self.finding(
                    f"{lamp.short} of {subject.name} has an LED with a {package.leads.replace('-', ' ')}, "
                    f"and is wired {lamp.polarity}",
                    subject.layout.spot(*lamp.path),
                    related=(subject.spot("wiring", label="wired so"), package.spot(label=package.title)),
                    citations=(package.why("leads"),),
                    tip=f"an LED with a {lamp.polarity.replace('-', ' ')}",
                )


class OneWayOutputs(ElectricalCheck):
    """Finds an LED of two leads and two colours that does not stand between two outputs which drive both ways.

    Such an LED shows one colour or the other by the way its current flows. Both its ends must be able to be high and to
    be low: one output and a supply give one colour only, and so do outputs that only take current in.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: power-shift-register-8, held-dark: true}}
        leds: {red: red-green-3mm-antiparallel, green: traffic-green-3mm}
        signals:
          HF1:
            form: led-two-aspect-stop
            lamps:
              main:
                red: {outputs: [A.0, A.1], current: 5 mA}      # expect: one-way-outputs "drive both ways"
                green: {output: A.2, current: 5 mA}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: shift-register-8, held-dark: true}}
        leds: {red: red-green-3mm-antiparallel, green: traffic-green-3mm}
        signals:
          HF1:
            form: led-two-aspect-stop
            lamps:
              main:
                red: {outputs: [A.0, A.1], current: 5 mA}
                green: {output: A.2, current: 5 mA}

    Limits: one finding a signal.
    """

    name = "one-way-outputs"
    scope = SIGNAL

    def look(self, subject: BoundSignal) -> Iterator[Finding]:
        """Yield a finding for the first such LED of the signal."""
        from lampwright_wiring.model import bind

        wiring = bind(subject.layout)
        for lamp, feed in _wired(wiring, subject.name):
            if not feed.load.both_ways:
                continue
            boards = [wiring.boards.get(one.board) for one in (feed.output, feed.returns) if one is not None]
            if feed.returns is not None and all(_both_ways(board) for board in boards):
                continue
            lacking = "has one output" if feed.returns is None else "hangs on outputs that do not drive both ways"
            yield self.finding(
                f"{lamp.short} of {subject.name} is an LED whose colour goes by the way of its current, and {lacking}; "
                "it needs two that drive both ways",
                subject.layout.spot(*lamp.path),
                citations=(feed.load.package.why("leads"),) if feed.load.package else (),
                tip="outputs: [first, second] on a board that can sink and source, or an LED with three leads",
            )
            return


class MixedPolarity(ElectricalCheck):
    """Finds heads of both polarities on a board that has one sense for all its outputs.

    Such a board is set once for all outputs: on means low, or on means high. With heads of both kinds on it, one half
    is lit when it should be dark, unless the controller turns each of these outputs round by itself.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}}            # expect: mixed-polarity "HF1 is common-anode and HF3 common-cathode"
        signals:
          HF1: {form: two-aspect-stop, wiring: common-anode, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.2}, {red: A.3}]}

    Right:

        plan: 1
        rulebook: gb-colour-light
        boards: {A: {kind: pwm-16}, B: {kind: pwm-16}}
        signals:
          HF1: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: A.0}, {red: A.1}]}
          HF3: {form: two-aspect-stop, wiring: common-cathode, lamps: [{green: B.0}, {red: B.1}]}

    Limits: where the board says how it drives, the heads that do not suit it are told one by one instead.
    """

    name = "mixed-polarity"
    level = Level.WARNING
    scope = BOARD

    def look(self, subject: About[Board]) -> Iterator[Finding]:
        """Yield a finding for a board with heads of both kinds."""
        board, kind = subject.thing, subject.thing.kind
        if kind is None or not kind.one_sense or board.drive:
            return
        by_way: dict[str, WiredLamp] = {}
        for used in subject.wiring.used_of(board):
            for lamp, feed in used.lamps:
                if way := feed.draw.output_way:
                    by_way.setdefault(way, lamp)
        if len(by_way) > 1:
            (one, first), (other, second) = by_way.items()
            yield self.finding(
                f"{first.signal} is {WORD[one]} and {second.signal} {WORD[other]}, "
                f"and board {board.name} has one sense for all its outputs",
                subject.spot("kind"),
                related=(
                    subject.layout.spot(*first.path, label=WORD[one]),
                    subject.layout.spot(*second.path, label=WORD[other]),
                ),
                citations=(kind.why("one-sense"),),
                tip="one board for each, or a controller that turns round the outputs of one",
            )


def _wired(wiring: Wiring, signal: str) -> Iterator[tuple[WiredLamp, Feed]]:
    """Yield what of a signal has an output."""
    for lamp in wiring.by_signal.get(signal, []):
        yield from ((lamp, feed) for feed in lamp.feeds if feed.output is not None and not lamp.fibre)


def _way(lamp: WiredLamp, feed: Feed) -> str:
    """Return how LEDs must be driven: as their head is wired, else by their common lead; empty if not said."""
    from lampwright_wiring.model import WAY_OF

    return WAY_OF.get(lamp.polarity) or WAY_OF.get(feed.load.polarity, "")


def _drive_spot(signal: BoundSignal, board: Board, way: str) -> Spot:
    """Return where the plan says how a board drives, or the board."""
    said = signal.layout.plan.values["boards"][board.name] or {}
    steps = next(((key,) for key in ("drive", "switch") if key in said), ())
    return signal.layout.spot(*board.path, *steps, label=f"drives by {way}", on_key=not steps)


def _both_ways(board: Board | None) -> bool:
    """Tell whether outputs can be high and low; taken so where the kind is not known."""
    return board is None or board.kind is None or (len(board.kind.drives) > 1 and board.switch is None)


def _other_way(board: Board, way: str) -> str:
    """Return what would be right: another drive if the board can, else another head or board."""
    wanted = "source" if way == "sink" else "sink"
    if board.switch is None and board.kind is not None and wanted in board.kind.drives:
        return f"`drive: {wanted}` for board {board.name}, or a {WORD[way]} head"
    return f"a {WORD[way]} head, or a board that can {wanted}"
