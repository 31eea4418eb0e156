"""What is read of every display of a signal while one thing has failed, and whether that lets a driver do more."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright.rulebooks.anatomy import DARK, LIT
from lampwright.rulebooks.displays import Display, Kind, of_part
from lampwright.rulebooks.failing import LOST, STEADY, STUCK, Failing, answer, failings, verdict
from lampwright.rulebooks.order import Verdict
from lampwright.words import listed
from lampwright.working.units import meant

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import FormReader, Reading
    from lampwright.rulebooks.meanings import Meaning
    from lampwright_proving.failing.faults import Fault

NOTHING: Final = "nothing lit"


class Outcome(StrEnum):
    """What a fault does to what is read."""

    FREER = "freer"
    COVERED = "covered"
    APART = "not comparable"
    SAFE = "not freer"


class Case(Struct, frozen=True):
    """One display of a signal with one thing failed.

    ``at`` is the aspect that should be read (``main.clear`` of a part) or a route; ``faults`` all that look alike;
    ``seen`` what is lit then, ``read`` what a driver takes it for. ``because`` says what covers it, or what would;
    ``kind`` is ``lost``, ``stuck`` or ``steady``; ``wired`` if it is the wiring that takes several.
    """

    at: str
    faults: tuple[str, ...]
    seen: str
    read: str
    outcome: Outcome
    kind: str
    because: str = ""
    wired: bool = False


class _Seen(Struct, frozen=True):
    """A failing with the names of all faults that do the same."""

    failing: Failing
    names: tuple[str, ...]
    wired: bool


def cases(signal: BoundSignal, faults: Sequence[Fault], *, single: bool = True) -> Iterator[Case]:
    """Yield every display of a signal, part by part, with each of some faults, and with each single thing of its form.

    Without ``single`` only the faults are tried.
    """
    if signal.reader is None:
        return
    for part, form in signal.reader.parts.items() or [("", signal.reader)]:
        given = tuple(meant(signal, part, form))
        shown = [item for item in form.meanings if item.commanded and item.aspect in given]
        alone = [one for one in failings(form) if one.meaning in shown] if single else []
        first = [_Seen(one, (_named(form, one),), wired=False) for one in alone]
        wired = (seen for item in shown for fault in faults if (seen := _wired(form, part, item, fault)))
        yield from (_case(form, part, seen) for seen in _together([*first, *wired]))
        if form.form.rest == DARK or any(one.then.get(part) == DARK for one in signal.reader.form.coupling):
            yield from _at_rest(form, part, faults)


def _at_rest(form: FormReader, part: str, faults: Sequence[Fault]) -> Iterator[Case]:
    """Yield what is read where nothing should be lit and something is; dark is no aspect to compare that with."""
    for fault in faults:
        _, seen = fault.seen({})
        inner = of_part(seen, part) if part else seen
        if inner:
            reading = form.read(inner)
            outcome, because = (Outcome.APART, "nothing should be lit") if reading.aspects else (Outcome.SAFE, "")
            where = f"{part}.{DARK}" if part else DARK
            read = _in_words(reading, "")
            yield Case(where, (fault.name,), _lit(form, inner), read, outcome, fault.how, because, fault.several)


def _wired(form: FormReader, part: str, meaning: Meaning, fault: Fault) -> _Seen | None:
    """Return what a fault of the wiring does to a display of a part; None if nothing, or if it does not read so."""
    plain = form.display(meaning)
    if form.read(plain).aspect != meaning.aspect:
        return None
    prefix = f"{part}." if part else ""
    elements, seen = fault.seen({f"{prefix}{name}": state for name, state in plain.items()})
    inner = of_part(seen, part) if part else seen
    changed = tuple(name.removeprefix(prefix) for name in elements if name.startswith(prefix))
    if inner == plain:
        return None
    failing = Failing(meaning, fault.how, changed, inner, form.read(inner))
    return _Seen(failing, (fault.name,), wired=len(changed) > 1)


def _together(found: Iterable[_Seen]) -> Iterator[_Seen]:
    """Put together what does the same to a display; the first, a single lamp if there is one, speaks for all."""
    alike: dict[object, _Seen] = {}
    for one in found:
        failing = one.failing
        key = (failing.meaning, failing.how == STUCK, frozenset(failing.display.items()))
        known = alike.get(key)
        names = dict.fromkeys((*known.names, *one.names)) if known else one.names
        alike[key] = replace(known or one, names=tuple(names))
    yield from alike.values()


def _case(form: FormReader, part: str, seen: _Seen) -> Case:
    """Judge what is seen."""
    failing = seen.failing
    freer, read = verdict(form, failing.meaning.aspect, failing.reading)
    outcome, because = _judged(form, failing, freer)
    where = f"{part}.{failing.meaning.aspect}" if part else failing.meaning.aspect
    told = _in_words(failing.reading, read)
    return Case(where, seen.names, _lit(form, failing.display), told, outcome, failing.how, because, seen.wired)


def _judged(form: FormReader, failing: Failing, freer: Verdict) -> tuple[Outcome, str]:
    """Return what a failing comes to, and what covers it or would."""
    reading = failing.reading
    if freer is Verdict.NO:
        unread = reading.kind in (Kind.NONE, Kind.AMBIGUOUS) and not reading.in_doubt and not reading.aspects
        return (Outcome.APART, "what such a display counts as is not said") if unread else (Outcome.SAFE, "")
    if freer is not Verdict.YES:
        said = "declared not comparable" if freer is Verdict.INCOMPARABLE else "which of them is freer is not said"
        return Outcome.APART, said
    found = answer(form, failing)
    if found is None or (found[1].accepted and len(failing.elements) > 1):
        return (
            (Outcome.COVERED, "it is proved lit") if _proved(form, failing) else (Outcome.FREER, _lacks(form, failing))
        )
    fault = found[1]
    return Outcome.COVERED, f"{fault.then} then" if fault.then else f"accepted: {fault.accepted}"


def _proved(form: FormReader, failing: Failing) -> bool:
    """Tell whether what is lost is boxes that are proved lit."""
    names = [element.partition(".")[0] for element in failing.elements]
    boxes = form.rulebook.indicators
    return failing.how == LOST and bool(names) and all(name in boxes and boxes[name].proved for name in names)


def _lacks(form: FormReader, failing: Failing) -> str:
    """Return the interlock that would cover a failing, as the faults of the form say it."""
    aspect, element = failing.meaning.aspect, failing.elements[0]
    then = form.form.in_doubt or form.form.failsafe or "..."
    return f"needs proving, as `{{{failing.how}: {element}, in: {aspect}, then: {then}}}` in the faults of {form.name}"


def _named(form: FormReader, failing: Failing) -> str:
    """Return what fails, in words."""
    flashing = [name for name, state in form.display(failing.meaning).items() if state.startswith("flash")]
    if failing.how == STEADY:
        every = len(failing.elements) == len(flashing) > 1
        return "all flashers steady" if every else f"{listed(failing.elements)} steady"
    left = failing.display.get(failing.elements[0], "")
    return f"{listed(failing.elements)} falls to {left}" if left else f"{listed(failing.elements)} dark"


def _lit(form: FormReader, display: Display) -> str:
    """Return what is seen, in words; what it is by itself goes without saying."""
    shown = {name: state for name, state in display.items() if name not in form.form.marks}
    return listed(name if state == LIT else f"{name} {state}" for name, state in shown.items()) or NOTHING


def _in_words(reading: Reading, read: str) -> str:
    """Return what a display is taken for, in words."""
    if reading.kind is Kind.REST:
        return "at rest"
    if reading.kind is Kind.ASPECT:
        return reading.aspect
    what = f"{listed(reading.aspects, 'or')}" if reading.aspects else "no aspect"
    doubt = reading.in_doubt or read
    return f"{what}, in doubt {doubt}" if doubt and doubt not in reading.aspects else what
