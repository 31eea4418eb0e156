"""From a layout to its tables: what every signal can be told to show, by number."""

from __future__ import annotations

from collections import Counter
from itertools import product
from typing import TYPE_CHECKING

from lampwright.plans.model import DUMMY
from lampwright.rulebooks.anatomy import DARK, UNLIT_STATES
from lampwright.rulebooks.boxes import FLASH
from lampwright.rulebooks.codec import as_text
from lampwright.tables import boxes as indicators
from lampwright.tables.model import Command, LeftOut, SignalTable, Tables
from lampwright.tables.shining import Lamps
from lampwright.working.units import meant, of_form

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks.displays import Display, FormReader
    from lampwright.tables.boxes import Boxes
    from lampwright.working.posts import Shows, Unit


def tables(layout: Layout) -> Tables:
    """Return the tables of a plan; worked out once for each layout."""
    if "tables" not in layout.cache:
        found: dict[str, SignalTable] = {}
        left_out = []
        for name in sorted(layout.signals):
            made = _Builder(layout.signals[name]).table()
            if isinstance(made, SignalTable):
                found[name] = made
            else:
                left_out.append(made)
        layout.cache["tables"] = Tables(found, tuple(left_out))
    known: Tables = layout.cache["tables"]
    return known


class _Builder:
    """Builds the table of one signal."""

    def __init__(self, signal: BoundSignal) -> None:
        self.signal = signal
        self.lamps = Lamps(signal)

    def table(self) -> SignalTable | LeftOut:
        """Return the table of the signal, or why it has none."""
        entry = self.signal.entry
        if entry.stage == DUMMY:
            return LeftOut(self.signal.name, "it is a dummy")
        if self.signal.reader is None or self.signal.rulebook is None:
            return LeftOut(self.signal.name, "its form is not known")
        commands = tuple(_told_apart(self._commands(self.signal.reader)))
        if not commands:
            return LeftOut(self.signal.name, "its form can show nothing in these years")
        address = entry.rest.get("address")
        return SignalTable(
            self.signal.name,
            None if address is None else int(address),
            commands,
            _failsafe(self.signal.reader, commands),
            as_text(entry.rest.get("fades")),
            {lamp.label: as_text(lamp.detail.get("wiring")) or entry.wiring for lamp in self.lamps.told},
        )

    def _commands(self, form: FormReader) -> Iterator[Command]:
        """Yield the commands; a number is that of a display among all that the form has.

        Where the plan does not say what the signal carries, the boxes that a display asks for are taken to be there.
        """
        number = 0
        for lit in indicators.carried(self.signal, self.lamps.told):
            for shows, display in self._shown(form):
                lamps, asked = _split(form, display)
                boxes = lit or (indicators.asked_for(self.signal, asked) if self.signal.entry.carries is None else ())
                shown = indicators.beside(self.signal, asked, boxes)
                if lit and (shown is None or not self._stands(shows, lit)):
                    continue
                if shown is not None and self._allows(form, shows, display):
                    seen = self.lamps.shines({**lamps, **shown})
                    boxes = tuple((box, _in_words(shown[box], content)) for box, content in boxes)
                    name = _name(shows, display, boxes)
                    yield Command(number, name, seen, shows, boxes, _plates(self.signal, display))
                number += 1

    def _stands(self, shows: Shows, lit: Boxes) -> bool:
        """Tell whether all of some indicators may be lit beside aspects."""
        return all(indicators.stands(self.signal, indicator, shows) for indicator, _ in lit)

    def _shown(self, form: FormReader) -> list[tuple[Shows, Display]]:
        """Return everything the form can show with a display for each way: that of nought first, then as ordered.

        What it falls to is among it, also if nothing else shows that, as where it falls dark.
        """
        assert self.signal.rulebook is not None  # noqa: S101  (table() has asked)
        post = of_form(self.signal, self.signal.rulebook, self.signal.form_name)
        stop = {unit.part: _at_stop(form, unit) for unit in post.units}
        fallen = tuple({**stop, **_falls_to(form, stop)}.items())
        every = [tuple((part, aspect or DARK) for part, aspect in shows) for shows in post.every()]
        nearest = min(every, key=lambda shows: _differences(shows, stop), default=fallen)
        ordered = dict.fromkeys((nearest, *every, *(() if fallen == tuple(stop.items()) else (fallen,))))
        return [(shows, display) for shows in ordered for display in displays(form, shows)]

    def _allows(self, form: FormReader, shows: Shows, display: Display) -> bool:
        """Tell whether the signal as it stands may give a display: what it is meant to, with the lamps it has."""
        for part, aspect in shows:
            if aspect != DARK and aspect not in meant(self.signal, part, _inner(form, part)):
                return False
        entry = self.signal.entry
        blanked = {self.signal.element(lamp) for lamp in entry.blanked}
        hung = all(name in entry.plates for name in _plates(self.signal, display))
        return not blanked & display.keys() and (hung or not entry.plates)


def _failsafe(form: FormReader, commands: tuple[Command, ...]) -> Command:
    """Return the command for what the form falls to; where nothing is said, that of least number."""
    wanted = _falls_to(form, dict(commands[0].aspects))
    plain = [command for command in commands if not command.boxes] or list(commands)
    return min(plain, key=lambda command: _differences(command.aspects, wanted))


def _falls_to(form: FormReader, parts: Iterable[str]) -> dict[str, str]:
    """Return what each part falls to, as far as its own form or the whole one says it."""
    said = {part: form.form.failsafe or _inner(form, part).form.failsafe for part in parts}
    return {part: failsafe for part, failsafe in said.items() if failsafe}


def _inner(form: FormReader, part: str) -> FormReader:
    """Return what reads a part of a form; the form itself if it has none."""
    return form.parts.get(part, form)


def _at_stop(form: FormReader, unit: Unit) -> str:
    """Return the most restrictive thing a unit shows: what counts in doubt, else what stands at rest, else nothing."""
    inner = _inner(form, unit.part).form
    rest = inner.rest if isinstance(inner.rest, str) else ""
    return next((one for one in (inner.in_doubt, rest, *unit.rest) if one in unit.able), DARK)


def _differences(shows: Shows, wanted: dict[str, str]) -> int:
    """Return how many parts do not show what is wanted of them."""
    return sum(wanted.get(part, aspect) != aspect for part, aspect in shows)


def displays(form: FormReader | None, shows: Shows) -> Iterator[Display]:
    """Yield the displays that show what the parts of a form are to show; each part may have several."""
    if form is None:
        return
    parts = [form.displays(f"{part}.{aspect}" if part else aspect) or ({},) for part, aspect in shows]
    for several in product(*parts):
        yield {name: state for display in several for name, state in display.items()}


def _split(form: FormReader, display: Display) -> tuple[Display, Display]:
    """Return the lamps of a display, and what it asks of boxes; these are called alike on all parts."""
    lamps = {name: state for name, state in display.items() if name in form.lamps}
    others = {name: state for name, state in display.items() if name not in lamps}
    asked = {name.partition(".")[2] if name.partition(".")[0] in form.parts else name: others[name] for name in others}
    boxes = form.rulebook.indicators
    positions = {position for indicator in boxes.values() for position in indicator.positions}
    return lamps, {n: state for n, state in asked.items() if n.partition(".")[0] in boxes or n in positions}


def _plates(signal: BoundSignal, display: Display) -> tuple[str, ...]:
    """Return the plates that must hang on the post for a display to be read as it is meant."""
    known = signal.rulebook.plates if signal.rulebook is not None else {}
    there = (name.rpartition(".")[2] for name, state in display.items() if state not in UNLIT_STATES)
    return tuple(sorted(name for name in there if name in known))


def _name(shows: Shows, display: Display, lit: Boxes) -> str:
    """Return what a command is called: ``clear with junction position-1``, ``danger + shunt-proceed``.

    Of several parts those that are dark are not named; nor is an indicator that is all of its aspect.
    """
    named = [aspect for part, aspect in shows if not part or any(name.startswith(f"{part}.") for name in display)]
    aspects = " + ".join(aspect for aspect in named if aspect) or DARK
    boxes = " and ".join(f"{name} {content}".strip() for name, content in lit if name not in named)
    return f"{aspects} with {boxes}" if boxes else aspects


def _in_words(state: str, content: str) -> str:
    """Return what stands in a box, with ``flash`` before it if that flashes."""
    return f"{FLASH} {content}".strip() if state.startswith(FLASH) else content


def _told_apart(commands: Iterator[Command]) -> Iterator[Command]:
    """Yield commands under names of their own: the second way to show an aspect has a 2 behind it."""
    from msgspec.structs import replace

    seen: Counter[str] = Counter()
    for command in commands:
        seen[command.name] += 1
        count = seen[command.name]
        yield command if count == 1 else replace(command, name=f"{command.name} ({count})")
