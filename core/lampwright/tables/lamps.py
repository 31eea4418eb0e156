"""Every lamp of a signal in each of its colours, and every indicator it carries, as far as the plan tells."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from lampwright.placed import lamp_of, placed, places, shared
from lampwright.plans import Carried
from lampwright.plans.load import LAMP_WORDS
from lampwright.plans.model import DUMMY
from lampwright.rulebooks.anatomy import ABSENT, DARK, LIT
from lampwright.rulebooks.boxes import FLASH
from lampwright.rulebooks.codec import as_text

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal
    from lampwright.placed import Placed

STATES = frozenset({LIT, FLASH})
"""What a route may say of an indicator in which nothing stands."""
PLACES = frozenset({"output", "outputs", "pinned"})
"""What ``like`` does not lend: an output is a signal's own."""


class Told(Struct, frozen=True, dict=True):
    """One lamp in one colour, or (``indicator`` set) what an indicator shows; ``detail`` is its wiring as written.

    ``names`` are its full names in the form (several where parts share it), or those of the indicator's box;
    ``content`` is what must stand in the box. ``many`` tells whether its lamp can show several colours. ``said`` tells
    whether the plan tells the lamp at all: the others are those the form has, and the indicators that routes light.
    """

    names: tuple[str, ...]
    colour: str
    path: Path
    detail: Mapping[str, Any]
    many: bool = False
    indicator: str = ""
    content: str = ""
    said: bool = True

    @cached_property
    def outputs(self) -> tuple[str, ...]:
        """The outputs it says, as written."""
        said = self.detail.get("outputs") or [self.detail.get("output")]
        return tuple(text for one in said if (text := as_text(one)) not in ("", DUMMY))

    @property
    def label(self) -> str:
        """What it is called on its signal: ``main.red``, ``lens``, ``position-1``, ``alphanumeric M``."""
        name = (self.names[-1] if self.indicator else self.names[0]) if self.names else self.colour
        return " ".join(filter(None, (name, self.content)))

    def state(self, display: Mapping[str, str]) -> str:
        """Return how it stands in a display by full names: empty if dark, else ``lit``, ``flash`` or another way."""
        shown = next((display[name] for name in self.names if name in display), DARK)
        if shown in (DARK, ABSENT, ""):
            return ""
        if self.indicator:
            return self._of_box(shown)
        if not self.many:
            return shown
        *way, colour = shown.split()
        return (way[0] if way else LIT) if colour == self.colour else ""

    def _of_box(self, shown: str) -> str:
        """Return how it stands while something stands in its box: ``M``, ``flash M``, ``flash``, ``lit``."""
        way = FLASH if shown.startswith(FLASH) else LIT
        content = shown.removeprefix(FLASH).strip()
        return way if self.content in ("", content) else ""


def told(signal: BoundSignal) -> tuple[Told, ...]:
    """Return the lamps of a signal, then its indicators; if the plan tells no lamps, the form's."""
    return (*_lamps(signal), *_indicators(signal))


def _lamps(signal: BoundSignal) -> Iterator[Told]:
    """Yield what is told of lamps; if nothing is, the form's."""
    entry, form = signal.entry, signal.reader
    if entry.lamps is not None:
        yield from (_lamp(signal, item) for item in placed(signal))
    elif form is not None:
        blanked = {name for lamp in entry.blanked if (name := signal.element(lamp))}
        for name, colour in places(form):
            if name not in blanked:
                many = len(lamp_of(form, name).colours) > 1
                yield Told(shared(form, name), colour, entry.path, {}, many=many, said=False)


def _lamp(signal: BoundSignal, item: Placed) -> Told:
    """Return what is told of one lamp."""
    detail = _own(signal, "lamps", _detail(item.built.output, item.built.detail))
    return Told(item.names, item.colour, item.built.path, detail, many=item.many)


def _indicators(signal: BoundSignal) -> Iterator[Told]:
    """Yield what is told of the indicators that the signal carries; if nothing is, those that its routes light."""
    if signal.entry.carries is None:
        yield from _lit(signal)
    for item in signal.entry.carries or ():
        if item.detail and not item.detail.keys() & LAMP_WORDS:
            for content, said in item.detail.items():
                yield _indicator(signal, item, (*item.path, content), _detail(said, said), content)
        else:
            yield _indicator(signal, item, item.path, _detail(item.output, item.detail), "")


def _indicator(signal: BoundSignal, item: Carried, path: Path, detail: Mapping[str, Any], content: str) -> Told:
    """Return what is told of an indicator, a position or a character of it."""
    found, book = signal.indicator(item.name), signal.rulebook
    detail = _own(signal, "carries", detail)
    if found is None or book is None:
        return Told((item.name,), "", path, detail, indicator=item.name, content=content)
    name, position = found
    record = book.indicators[name]
    if content in record.positions and not position:
        position, content = content, ""
    names = (f"{name}.{position}", position) if position else (name,)
    colour = record.colour or as_text(record.lamps.get("colour"))
    return Told(names, colour, path, detail, indicator=name, content=content)


def _lit(signal: BoundSignal) -> Iterator[Told]:
    """Yield the indicators that routes light, each position and content once; those that are not known, not at all."""
    found = [
        _indicator(signal, Carried(item.path, item.name), item.path, {}, "" if item.content in STATES else item.content)
        for route in signal.entry.routes
        for item in route.indications
        if signal.indicator(item.name)
    ]
    first: dict[tuple[tuple[str, ...], str], Told] = {}
    for one in found:
        first.setdefault((one.names, one.content), one)
    yield from (replace(one, said=False) for one in first.values())


def _own(signal: BoundSignal, key: str, detail: Mapping[str, Any]) -> Mapping[str, Any]:
    """Return details without what ``like`` does not lend, if they are lent."""
    if key not in signal.entry.inherited:
        return detail
    return {name: said for name, said in detail.items() if name not in PLACES}


def _detail(output: Any, detail: Any) -> Mapping[str, Any]:
    """Return a lamp's details as a map, its output in it if that is all that is said."""
    if isinstance(detail, dict) and detail:
        return detail
    return {"output": as_text(output)} if output else {}
