"""How a signal looks when it shows something: the lamps lit, what it is told to show, what is read with lamps out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct
from msgspec.structs import replace

from lampwright.placed import shared
from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.boxes import FLASH
from lampwright.rulebooks.displays import Kind, Reading
from lampwright.rulebooks.failing import LOST, Failing, answer
from lampwright.tables import boxes as indicators
from lampwright.tables.building import displays, tables
from lampwright.tables.shining import Lamps
from lampwright.words import listed

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import Display, FormReader
    from lampwright.tables.boxes import Boxes
    from lampwright.tables.model import Beat, Command, Shine
    from lampwright.working.posts import Post, Shows

BLANK: Final = Reading(Kind.NONE)


class Light(Struct, frozen=True):
    """One lamp that is lit: its label, its colour, how it flashes (None if steady), and all its names on the form."""

    lamp: str
    colour: str
    beat: Beat | None
    names: tuple[str, ...]


class Look(Struct, frozen=True):
    """What a signal shows: aspects of its parts as told, in words, and what it lights.

    ``seen`` is what counts for those behind; ``stands`` tells that it stops trains. ``lack`` says what it is asked and
    cannot show, and so stands at rest instead; ``out`` the lamp for whose loss another aspect is shown than is asked.
    """

    shows: Shows
    said: str
    stands: bool
    seen: str
    lights: tuple[Light, ...]
    boxes: Boxes = ()
    lack: str = ""
    out: str = ""


class Looks:
    """The looks of one signal, each worked out once."""

    def __init__(self, signal: BoundSignal, post: Post) -> None:
        self.signal = signal
        self.post = post
        self._known: dict[tuple[Shows, Boxes], Look] = {}
        found = tables(signal.layout).signals.get(signal.name)
        self._commands = found.commands if found else ()

    @property
    def rest(self) -> Look:
        """How it looks with no route set."""
        return self.of(self.post.resting()[0].shows)

    def of(self, shows: Shows, boxes: Boxes = ()) -> Look:
        """Return how it looks when its parts show something, with indicators lit beside."""
        if (shows, boxes) not in self._known:
            self._known[shows, boxes] = self._made(shows, boxes)
        return self._known[shows, boxes]

    def after(self, look: Look, out: Collection[str]) -> Look:
        """Return how it looks once lamps are out: as before, unless the rulebook answers the fault otherwise."""
        seen: list[Look] = []
        while look not in seen:
            seen.append(look)
            fallen = (self.fallen(look, light.lamp) for light in look.lights if light.lamp in out)
            look = next((found for found in fallen if found is not None), look)
        return look

    def fallen(self, look: Look, lamp: str) -> Look | None:
        """Return how it looks when one lamp goes out that the rulebook proves; None if it does not."""
        form = self.signal.reader
        for part, aspect in look.shows if form is not None else ():
            inner = form.parts.get(part, form) if form is not None else None
            element = lamp.removeprefix(f"{part}.") if part else lamp
            then = _answered(inner, aspect, element) if inner is not None else ""
            if then and then != aspect:
                shows = tuple((name, then if name == part else shown) for name, shown in look.shows)
                return replace(self.of(self.post.coupled(shows)), out=lamp)
        return None

    def reads(self, look: Look, out: Collection[str]) -> str:
        """Return what a driver reads with lamps out, in words; empty if none that is lit is out."""
        form = self.signal.reader
        lost = {name for light in look.lights if light.lamp in out for name in light.names}
        if form is None or not lost:
            return ""
        display = {name: state for name, state in self._display(form, look).items() if name not in lost}
        if self.post.rulebook.indicators.keys() & lost:
            display = {name: state for name, state in display.items() if name.partition(".")[0] not in lost}
        facts = dict(self.post.standing)
        return _in_words(form.read_parts(display, facts))

    def _display(self, form: FormReader, look: Look) -> Display:
        """Return what is seen: lamps, plates, boxes by all their names."""
        shown = next(displays(form, look.shows), {})
        plates = {name: state for name, state in self.signal.entry.plates.items() if name in form.anatomy.others}
        return {**plates, **shown, **indicators.display(self.signal, look.boxes)} if look.boxes else {**plates, **shown}

    def _made(self, shows: Shows, boxes: Boxes) -> Look:
        """Work out a look."""
        command = self._command(shows, boxes)
        lit = boxes if command is None else tuple((box, content) for box, content in command.boxes)
        shines = command.lamps if command is not None else self._shines(shows)
        aspects = [aspect for _, aspect in shows if aspect not in ("", DARK)]
        telling = [aspect for aspect in aspects if self.post.authority(aspect) != "none"] or aspects
        beside = listed(f"{name} {content}".strip() for name, content in lit)
        said = listed(dict.fromkeys(telling)) or DARK
        stands = {self.post.authority(aspect) for aspect in telling} == {"stop"}
        said = f"{said} with {beside}" if beside else said
        return Look(shows, said, stands, self.post.seen(shows), self._lights(shines), lit)

    def _command(self, shows: Shows, boxes: Boxes) -> Command | None:
        """Return the command for it; without indicators if the signal carries none such."""
        wanted = {part: aspect or DARK for part, aspect in shows}
        fitting = [command for command in self._commands if dict(command.aspects) == wanted]
        asked = {(name, content) for name, content in boxes}
        exact = (one for one in fitting if {(name, _plain(content)) for name, content in one.boxes} == asked)
        bare = (one for one in fitting if not one.boxes)
        return next(exact, None) or next(bare, None) or next(iter(fitting), None)

    def _shines(self, shows: Shows) -> tuple[Shine, ...]:
        """Return every lamp of the signal for something that no command is for."""
        if self.signal.reader is None:
            return ()
        return Lamps(self.signal).shines(next(displays(self.signal.reader, shows), {}))

    def _lights(self, shines: tuple[Shine, ...]) -> tuple[Light, ...]:
        """Return the lamps that are lit, each once."""
        found = (Light(one.lamp, one.colour, one.flash, self._names(one.lamp)) for one in shines if one.lit)
        return tuple(dict.fromkeys(found))

    def _names(self, lamp: str) -> tuple[str, ...]:
        """Return all names of a lamp on the form; of an indicator those of its box."""
        form = self.signal.reader
        if form is not None and lamp in form.lamps:
            return shared(form, lamp)
        name, _, content = lamp.partition(" ")
        indicator, position = self.signal.indicator(name) or (name, "")
        return tuple(indicators.display(self.signal, ((indicator, position or content),)))


def _plain(content: str) -> str:
    """Return what stands in a box, flashing or not."""
    return content.removeprefix(FLASH).strip()


def _answered(form: FormReader, aspect: str, lamp: str) -> str:
    """Return what the rulebook has shown instead when a lamp of an aspect is lost; empty if it does not say."""
    meant = (one for one in form.meanings if one.commanded and one.aspect == aspect and lamp in dict(one.lamps))
    meaning = next(meant, None)
    if meaning is None:
        return ""
    found = answer(form, Failing(meaning, LOST, (lamp,), {}, BLANK))
    return found[1].then if found else ""


def _in_words(readings: Mapping[str, Reading]) -> str:
    """Say what is read of each part of a post; a part that rests is not told of beside others."""
    told = [_said(reading) for reading in readings.values() if reading.kind is not Kind.REST]
    return listed(dict.fromkeys(told)) or DARK


def _said(reading: Reading) -> str:
    """Say what is read."""
    if reading.kind is Kind.ASPECT:
        return reading.aspect
    doubt = f", taken for {reading.in_doubt}" if reading.in_doubt else ""
    return f"{listed(reading.aspects, 'or') or 'no aspect'}{doubt}"
