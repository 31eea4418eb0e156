"""The one verdict on each display a signal is said to show: so that one slip has one finding."""

from __future__ import annotations

from enum import Enum, auto
from functools import partial
from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.layout import full_name
from lampwright.rulebooks.displays import Kind, of_part, reader
from lampwright_signals.coupling import Breach, breach
from lampwright_signals.saying import taken_over

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal
    from lampwright.plans import Shown
    from lampwright.rulebooks.anatomy import Lamps
    from lampwright.rulebooks.displays import Display, FormReader, Reading


class Verdict(Enum):
    """What is wrong with a display; RIGHT if nothing is. Every other one has its check."""

    RIGHT = auto()
    UNKNOWN = auto()
    BEYOND = auto()
    NOT_IN_USE = auto()
    ELEMENT = auto()
    STATE = auto()
    NOTHING_LIT = auto()
    FLASH = auto()
    TWICE = auto()
    ANOTHER = auto()
    OF_A_FAULT = auto()
    IMPOSSIBLE = auto()
    COUPLING = auto()


class Judged(Struct, frozen=True):
    """A display with its verdict.

    ``part`` is the part of the post that was judged (empty without parts), ``form`` its reader, ``display`` the
    elements of the whole post by full name. ``element`` is the slip of ELEMENT and STATE, ``twin`` that of TWICE.
    """

    signal: BoundSignal
    shown: Shown
    verdict: Verdict
    aspect: str = ""
    part: str = ""
    form: FormReader | None = None
    display: Display = field(default_factory=dict)
    reading: Reading | None = None
    element: tuple[str, str] = ("", "")
    twin: str = ""
    breach: Breach | None = None

    @property
    def lamps(self) -> Lamps:
        """The lamps of the part that are lit, with their tokens."""
        inner = of_part(self.display, self.part) if self.part else self.display
        split = self.form.anatomy.lit(tuple(inner.items())) if self.form else None
        return split[0] if split else {}

    @property
    def wanted(self) -> Display:
        """The first display the rulebook commands for the aspect, boxes and plates included."""
        return next(iter(self.form.displays(self.aspect)), {}) if self.form else {}


def judged(signal: BoundSignal) -> tuple[Judged, ...]:
    """Return every display a signal is said to show with its verdict; worked out once."""
    if "judged" not in signal.cache:
        single = [_judge(signal, signal.reader, shown) for shown in signal.entry.shows] if signal.reader else []
        signal.cache["judged"] = tuple(_compared(one, single) for one in single)
    known: tuple[Judged, ...] = signal.cache["judged"]
    return known


def found(signal: BoundSignal, *verdicts: Verdict) -> Iterator[Judged]:
    """Yield the displays of given verdicts; a signal with all of it taken over leaves them to the one it is like."""
    if signal.entry.shows and not taken_over(signal, "form", "shows", "plates", "regime", "rulebook", "year"):
        yield from (one for one in judged(signal) if one.verdict in verdicts)


def _judge(signal: BoundSignal, whole: FormReader, shown: Shown) -> Judged:
    """Judge one display by itself; of several parts that know the aspect the one that fits counts."""
    owners = _owners(signal, whole, shown.aspect)
    if not owners:
        return Judged(signal, shown, standing(signal, whole, shown.aspect))
    attempts = [_judge_as(signal, whole, shown, part, aspect) for part, aspect in owners]
    return next((one for one in attempts if one.verdict is Verdict.RIGHT), attempts[0])


def standing(signal: BoundSignal, whole: FormReader, name: str) -> Verdict:
    """Return whether a name is an aspect that the form can give in any year: RIGHT, BEYOND or UNKNOWN."""
    if _owners(signal, whole, name):
        return Verdict.RIGHT
    return Verdict.BEYOND if name.rpartition(".")[2] in whole.rulebook.aspects else Verdict.UNKNOWN


def _owners(signal: BoundSignal, whole: FormReader, name: str) -> list[tuple[str, str]]:
    """Return the parts that can give an aspect in any year, each with the aspect's own name."""
    timeless = reader(whole.rulebook, whole.name, None, signal.entry.regime)
    gives = {*whole.gives, *timeless.gives}
    if not whole.parts:
        return [("", name)] if name in gives else []
    part, _, rest = name.partition(".")
    if part in whole.parts:
        return [(part, rest)] if name in gives else []
    return [(part, name) for part in whole.parts if f"{part}.{name}" in gives]


def _judge_as(signal: BoundSignal, whole: FormReader, shown: Shown, part: str, aspect: str) -> Judged:
    """Judge a display as one part's display of an aspect."""
    form, years = (whole.parts[part] if part else whole), signal.years
    display, slip, verdict = _elements(signal, whole, part, shown)
    if verdict is Verdict.RIGHT and years and not whole.rulebook.aspects[aspect].years.covers(years):
        verdict = Verdict.NOT_IN_USE
    if verdict is not Verdict.RIGHT or form.parts:  # a part that has parts itself is not judged
        return Judged(signal, shown, verdict, aspect, part, form, display, element=slip)
    reading = _read(signal, form, of_part(display, part) if part else display, aspect)
    one = Judged(signal, shown, verdict, aspect, part, form, display, reading)
    if (verdict := _verdict(one)) is not Verdict.RIGHT:
        return replace(one, verdict=verdict)
    return _beside(whole, one) if part else one


def _elements(
    signal: BoundSignal, whole: FormReader, part: str, shown: Shown
) -> tuple[Display, tuple[str, str], Verdict]:
    """Return a display with full names; the first element that is not there, or cannot be so, with its verdict."""
    display: Display = {}
    for name, state in shown.elements:
        full = (full_name(whole, f"{part}.{name}") if part else "") or full_name(whole, name)
        if full:
            display[full] = state
            if not _possible(whole, full, state):
                return display, (name, state), Verdict.STATE
        elif told := signal.indicator(name):
            box = full_name(whole, f"{part}.{told[0]}") if part else full_name(whole, told[0])
            display.update({box: told[1] or state} if box else {})
        else:
            return display, (name, state), Verdict.ELEMENT
    return display, ("", ""), Verdict.RIGHT


def _possible(whole: FormReader, full: str, state: str) -> bool:
    """Tell whether a lamp or head can be in a state; boxes and plates can be in any."""
    if whole.parts:
        part, _, inner = full.partition(".")
        return _possible(whole.parts[part], inner, state)
    return full in whole.anatomy.others or whole.anatomy.element(full, state) is not None


def _read(signal: BoundSignal, form: FormReader, inner: Display, aspect: str) -> Reading:
    """Read a part with the plates of the signal; if the plan names no plates, those the aspect asks for are there."""
    plates = {name: state for name, state in signal.entry.plates.items() if name in form.anatomy.others}
    reading = form.read({**plates, **inner})
    if reading.aspect == aspect or signal.entry.plates:
        return reading
    for wanted in form.displays(aspect):
        hung = {name: state for name, state in wanted.items() if name in form.form.plates}
        with_plates = form.read({**hung, **inner})
        if with_plates.aspect == aspect:
            return with_plates
    return reading


def _verdict(one: Judged) -> Verdict:
    """Judge what was read against what was meant."""
    reading = one.reading
    if reading is None or reading.aspect == one.aspect:
        commanded = reading is None or any(meaning.commanded for meaning in reading.meanings)
        return Verdict.RIGHT if commanded else Verdict.OF_A_FAULT
    if not one.lamps:
        return Verdict.NOTHING_LIT
    if reading.kind in (Kind.ASPECT, Kind.AMBIGUOUS):
        return Verdict.ANOTHER
    return Verdict.FLASH if _only_flash_differs(one) else Verdict.IMPOSSIBLE


def _only_flash_differs(one: Judged) -> bool:
    """Tell whether the lamps and colours are those of the aspect, and only steady and flashing are not."""
    if one.form is None:
        return False
    splits = [one.form.anatomy.lit(tuple(display.items())) for display in one.form.displays(one.aspect)]
    return _steady(one.form, one.lamps) in [_steady(one.form, split[0]) for split in splits if split]


def _steady(form: FormReader, lamps: Lamps) -> Lamps:
    """Return lit lamps as they would look without any flashing."""
    several = {lamp: len(form.anatomy.lamps[lamp].colours) > 1 for lamp in lamps}
    return {lamp: token.rpartition(" ")[2] if several[lamp] else "lit" for lamp, token in lamps.items()}


def _beside(whole: FormReader, one: Judged) -> Judged:
    """Judge what a display says of the other parts of the post, and what the parts force on each other."""
    spoken = dict.fromkeys(name.partition(".")[0] for name in one.display)
    readings = {part: whole.parts[part].read(of_part(one.display, part)) for part in spoken}
    readings[one.part] = one.reading or readings[one.part]
    for part, reading in readings.items():
        if reading.kind is Kind.NONE and part != one.part:
            other = replace(one, part=part, form=whole.parts[part], reading=reading)
            if other.lamps:
                return replace(other, verdict=Verdict.IMPOSSIBLE)
    against = breach(whole, one.display, readings)
    return replace(one, verdict=Verdict.COUPLING, breach=against) if against else one


def _compared(one: Judged, all_of_them: list[Judged]) -> Judged:
    """Return a display that is another shown aspect's too as such, rather than as that aspect's."""
    if one.verdict is Verdict.RIGHT and (other := next(filter(partial(_said_too, one), all_of_them), None)):
        return replace(one, verdict=Verdict.TWICE, twin=other.shown.aspect)
    if one.verdict is not Verdict.ANOTHER or one.reading is None:
        return one
    for other in all_of_them:
        same = other.part == one.part and other.lamps == one.lamps
        if same and other.verdict is Verdict.RIGHT and other.aspect == one.reading.aspect:
            return replace(one, verdict=Verdict.TWICE, twin=other.shown.aspect)
    return one


def _said_too(one: Judged, other: Judged) -> bool:
    """Tell whether a display also gives, by another part of the post, an aspect that is more than that part's rest."""
    if other.form is None or other.verdict is not Verdict.RIGHT or other.part in ("", one.part):
        return False
    return other.display == one.display and other.aspect != other.form.form.in_doubt
