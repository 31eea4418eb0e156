"""What can fail by itself on a signal as it is wired, and which of its lamps that takes along."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.rulebooks.anatomy import LIT
from lampwright.rulebooks.codec import as_text
from lampwright.rulebooks.failing import LOST, STUCK
from lampwright.tables.lamps import told

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Sequence

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import Display
    from lampwright.tables.lamps import Told

MIXED: Final = "+"
"""Between two colours of one lens that are lit together: no display has that."""


class Fault(Struct, frozen=True):
    """One thing that fails: ``how`` is ``lost`` or ``stuck``.

    ``lamps`` are what it takes along; of a mixed colour, with the colour that is left of it, else with an empty text.
    """

    how: str
    name: str
    lamps: tuple[tuple[Told, str], ...]

    @property
    def several(self) -> bool:
        """Whether it is more than one lamp that goes dark by itself, or stays lit."""
        return len(self.lamps) > 1 or any(left for _, left in self.lamps)

    def seen(self, display: Display) -> tuple[tuple[str, ...], Display]:
        """Return the elements of a display, by full names, that it changes, and what is seen then."""
        changed: dict[str, None] = {}
        shown = dict(display)
        for lamp, left in self.lamps:
            state = lamp.state(display)
            if bool(state) is (self.how == LOST):
                names = _dark(lamp, left, state, shown) if self.how == LOST else _lit(lamp, shown)
                changed |= dict.fromkeys(names)
        return tuple(changed), shown


def faults(signal: BoundSignal) -> tuple[Fault, ...]:
    """Return what can fail on a signal, beside what fails on any of its form: single lamps dark, flashers steady."""
    lamps = [lamp for lamp in told(signal) if lamp.names]
    return (*_stuck(lamps), *_outputs(lamps), *_commons(signal, lamps), *_boards(lamps))


def _stuck(lamps: Sequence[Told]) -> Iterator[Fault]:
    """Yield each lamp that stays lit."""
    for lamp in lamps:
        if not lamp.indicator:
            name = f"{lamp.label} {lamp.colour}" if lamp.many else lamp.label
            yield Fault(STUCK, f"{name} stuck lit", ((lamp, ""),))


def _outputs(lamps: Sequence[Told]) -> Iterator[Fault]:
    """Yield each output that is off, and each stuck on; one that feeds a single lamp fails as that lamp does."""
    for output in _every(lamps):
        off = _off(f"output {output} off", lamps, {output})
        on = tuple((lamp, "") for lamp in lamps if lamp.outputs == (output,) and not lamp.indicator)
        if off.several:
            yield off
        if len(on) > 1:
            yield Fault(STUCK, f"output {output} stuck on", on)


def _commons(signal: BoundSignal, lamps: Sequence[Told]) -> Iterator[Fault]:
    """Yield the common wire of all lamps of one polarity; one that the plan does not tell is none."""
    groups: dict[str, list[Told]] = {}
    for lamp in lamps:
        groups.setdefault(as_text(lamp.detail.get("wiring")) or signal.entry.wiring, []).append(lamp)
    said = {polarity: group for polarity, group in groups.items() if polarity}
    for polarity, group in said.items():
        name = "common wire off" if len(said) == 1 else f"wire of the {polarity} lamps off"
        yield Fault(LOST, name, tuple((lamp, "") for lamp in group))


def _boards(lamps: Sequence[Told]) -> Iterator[Fault]:
    """Yield each board that is off."""
    boards: dict[str, set[str]] = {}
    for output in _every(lamps):
        boards.setdefault(output.rpartition(".")[0], set()).add(output)
    for board, outputs in boards.items():
        if board:
            yield _off(f"board {board} off", lamps, outputs)


def _every(lamps: Sequence[Told]) -> tuple[str, ...]:
    """Return the outputs of all lamps, each once."""
    return tuple(dict.fromkeys(output for lamp in lamps for output in lamp.outputs))


def _off(name: str, lamps: Sequence[Told], off: Collection[str]) -> Fault:
    """Return the fault of some outputs that are off."""
    left = ((lamp, _left(lamp, lamps, off)) for lamp in lamps)
    return Fault(LOST, name, tuple((lamp, colour) for lamp, colour in left if colour is not None))


def _left(lamp: Told, lamps: Sequence[Told], off: Collection[str]) -> str | None:
    """Return what is left of a lamp while outputs are off: a colour, nothing; None if it stays as it is."""
    parts = _parts(lamp, lamps)
    alive = [colour for colour, output in parts if output not in off]
    if len(alive) == len(parts):
        return None
    if lamp.detail.get("mix"):
        return MIXED.join(alive)
    return "" if not alive or _turned(lamp, lamps) else None


def _parts(lamp: Told, lamps: Sequence[Told]) -> list[tuple[str, str]]:
    """Return what a lamp is lit by: colours with their outputs; of a fibre, those of the LED at its other end."""
    fibre = as_text(lamp.detail.get("fibre"))
    if fibre:
        source = next((one for one in lamps if fibre in (*one.names, one.label) and one is not lamp), None)
        return [(lamp.colour, output) for output in (source.outputs if source else ())]
    own = lamp.outputs
    mix = tuple(lamp.detail.get("mix") or ())
    if not mix:
        return [(lamp.colour, output) for output in own]
    return [
        (colour, output)
        for index, colour in enumerate(mix)
        for output in own[index : index + 1] or _of_twin(lamp, colour, lamps)
    ]


def _of_twin(lamp: Told, colour: str, lamps: Sequence[Told]) -> tuple[str, ...]:
    """Return the output of the same lens in another colour."""
    return next((one.outputs[:1] for one in lamps if one.names == lamp.names and one.colour == colour), ())


def _turned(lamp: Told, lamps: Sequence[Told]) -> bool:
    """Tell whether an LED stands between its two outputs: in another colour they are the other way round."""
    return len(lamp.outputs) > 1 and any(
        one is not lamp and one.names == lamp.names and one.outputs == lamp.outputs[::-1] for one in lamps
    )


def _dark(lamp: Told, left: str, state: str, shown: Display) -> list[str]:
    """Put out a lamp, or what is off of its mixed colour; return the elements that changed."""
    names = [name for name in lamp.names if name in shown]
    for name in names:
        if left:
            shown[name] = left if state == LIT else f"{state} {left}"
        else:
            del shown[name]
    return names


def _lit(lamp: Told, shown: Display) -> list[str]:
    """Light a lamp; on a lens that is lit in another colour both are seen."""
    token = lamp.colour if lamp.many else LIT
    for name in lamp.names:
        shown[name] = f"{shown[name]}{MIXED}{token}" if name in shown else token
    return list(lamp.names)
