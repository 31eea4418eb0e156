"""What stands on a bench card, before anybody decides how it is printed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.layout import full_name
from lampwright.tables import tables
from lampwright.tables.asked import asked
from lampwright.tables.fingerprint import fingerprint, plan_fingerprint
from lampwright_proving.diagnosis.result import in_order
from lampwright_proving.standing import standing

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables import Command, LeftOut, Shine, SignalTable

CAUTIONS: Final = (
    "Extra-low voltage only, from a listed supply, fused; follow local codes, leave mains work to licensed people.",
    "Power off before a wire is moved. LEDs never without their resistors.",
    "For model railways only: nothing here is fit for a real one.",
)
NOT_ASKED: Final = "no route asks for it"
"""Of a command that is proved for what its lamps tell, though the layout never shows it."""
FILE: Final = "A file of what was seen, for --seen, begins with `seen: 1` and `plan: {}`."
"""How what was seen is kept with the plan it belongs to."""
HOW: Final = (
    "Give the commands in this order: it tells faults apart soonest. Let all other signals stand at their failsafe. "
    "Write down every lamp, dark ones too: lit, dark, dim or flashing."
)


class Lamp(Struct, frozen=True):
    """One lamp under a command: ``must`` is ``dark``, ``lit`` or ``flashing``; ``colour`` what is seen, or could be.

    ``place`` is where it sits (``1`` is the uppermost of a column), empty if that is not known.
    """

    name: str
    place: str
    colour: str
    must: str
    output: str


class Step(Struct, frozen=True):
    """One command with all lamps; ``remark`` is said behind its name."""

    number: int
    name: str
    lamps: tuple[Lamp, ...]
    remark: str = ""


class SignalCard(Struct, frozen=True):
    """The card of one signal, its commands in the order that tells most."""

    signal: str
    form: str
    stage: str
    address: int | None
    fingerprint: str
    failsafe: str
    steps: tuple[Step, ...]


class Card(Struct, frozen=True):
    """The cards of a plan; ``left_out`` are signals without one."""

    plan: str
    file: str
    rulebook: str
    year: str
    fingerprint: str
    signals: tuple[SignalCard, ...]
    left_out: tuple[LeftOut, ...] = ()


def card(layout: Layout, names: Sequence[str] = ()) -> Card:
    """Return the card of a plan: of all its signals, or of those named."""
    known = tables(layout)
    wanted = [name for name in layout.signals if not names or name in names]
    return Card(
        layout.plan.name or layout.plan.stem,
        layout.plan.file,
        layout.rulebook_name,
        layout.year_text,
        plan_fingerprint(layout),
        tuple(_of_signal(layout, known.signals[name]) for name in wanted if name in known.signals),
        tuple(one for one in known.left_out if one.signal in wanted),
    )


def _of_signal(layout: Layout, table: SignalTable) -> SignalCard:
    """Return the card of one signal: what routes ask for first, and of that what tells most."""
    signal = layout.signals[table.signal]
    commands = {command.number: command for command in table.commands}
    wanted = asked(layout, table)
    idle = frozenset[int]() if wanted is None else commands.keys() - wanted
    telling = (command.number for command in in_order(standing(layout, [table.signal]).bench))
    order = sorted((number for number in telling if number is not None), key=idle.__contains__)
    return SignalCard(
        table.signal,
        signal.form_name,
        signal.entry.stage,
        table.address,
        fingerprint(layout, table.signal),
        table.failsafe.name,
        tuple(_step(signal, commands[one], NOT_ASKED if one in idle else "") for one in order),
    )


def _step(signal: BoundSignal, command: Command, remark: str) -> Step:
    """Return one command with its lamps, each once: what is lit of a lens that can change, or all it could be."""
    by_lamp: dict[str, list[Shine]] = {}
    for shine in command.lamps:
        by_lamp.setdefault(shine.lamp, []).append(shine)
    places = _places(signal, by_lamp)
    lamps = tuple(_lamp(name, places[name], shines) for name, shines in by_lamp.items())
    return Step(command.number, command.name, lamps, remark)


def _lamp(name: str, place: str, shines: Sequence[Shine]) -> Lamp:
    """Return one lamp from what is told of each of its colours and outputs."""
    lit = [shine for shine in shines if shine.lit]
    colours = dict.fromkeys(shine.colour for shine in lit or shines)
    outputs = dict.fromkeys(shine.output for shine in lit or shines if shine.output)
    must = "dark" if not lit else "flashing" if any(shine.flash for shine in lit) else "lit"
    return Lamp(name, place, "/".join(colours), must, " ".join(outputs))


def _places(signal: BoundSignal, names: Collection[str]) -> dict[str, str]:
    """Return where lamps sit: counted from the top, those of one height from the left, if their places are known."""
    form = signal.reader
    known = {}
    for name in names:
        full = full_name(form, name) if form is not None else ""
        if form is not None and full in form.lamps and (at := form.at(full)):
            known[name] = (-at[0][1], at[0][0])
    order = sorted(set(known.values()))
    return {name: str(order.index(known[name]) + 1) if name in known else "" for name in names}
