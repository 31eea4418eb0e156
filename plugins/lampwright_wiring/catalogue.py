"""The parts there are: found by name in the data that plugins bring, each read when it is first asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from lampwright.rulebooks.codec import as_text
from lampwright.rulebooks.model import Source
from lampwright_wiring.kinds import (
    BoardKind,
    ColourKind,
    ControllerKind,
    Kind,
    LedKind,
    PartsFile,
    Refusal,
    Resistors,
    Series,
    SupplyKind,
    SwitchKind,
    WireKind,
)
from lampwright_wiring.reading import READERS

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.documents import Document
    from lampwright.layout import Layout

NO_FILE = PartsFile("", {}, {})
K = TypeVar("K", bound=Kind)
SINGLE = "resistors"
"""The section that is one kind by itself and has no names."""


class Catalogue:
    """All parts data of one run. Of two kinds of one name in one section, the first counts."""

    def __init__(self, documents: Iterable[Document]) -> None:
        """Take the files in the order in which they count."""
        self._files = [PartsFile(one.name, one.values, _sources(one.values)) for one in documents]
        self._known: dict[tuple[str, str], Any] = {}

    def names(self, section: str) -> list[str]:
        """Return the names of a section: ``leds``, ``boards``, ``switches``, ``controllers``, ``supplies``..."""
        return list(dict.fromkeys(name for file in self._files for name in file.values.get(section) or ()))

    def led(self, name: str) -> LedKind | None:
        """Return a kind of LED."""
        return self._find("leds", name, LedKind)

    def board(self, name: str) -> BoardKind | None:
        """Return a kind of board."""
        return self._find("boards", name, BoardKind)

    def switch(self, name: str) -> SwitchKind | None:
        """Return a kind of transistor or driver, for an unknown name one without data; None for no name."""
        found = self._find("switches", name, SwitchKind)
        return found or (SwitchKind(name, name, ("switches", name), NO_FILE, driven="") if name else None)

    def controller(self, name: str) -> ControllerKind | None:
        """Return a kind of controller."""
        return self._find("controllers", name, ControllerKind)

    def supply(self, name: str) -> SupplyKind | None:
        """Return a kind of supply."""
        return self._find("supplies", name, SupplyKind)

    def series(self, name: str) -> Series | None:
        """Return a series of preferred numbers."""
        return self._find("series", name, Series)

    def wire(self, name: str) -> WireKind | None:
        """Return a size of wire."""
        return self._find("wires", name, WireKind)

    def refusal(self, name: str) -> Refusal | None:
        """Return a way of wiring that is refused, by its name."""
        return self._find("refused", name, Refusal)

    def colour(self, name: str) -> ColourKind | None:
        """Return what the light of a signal's colour must be, by any of its names."""
        if found := self._find("colours", name, ColourKind):
            return found
        others = (self._find("colours", other, ColourKind) for other in self.names("colours"))
        return next((kind for kind in others if kind and name in kind.known_as), None)

    @property
    def resistors(self) -> Resistors | None:
        """What resistors are taken for where a plan does not say."""
        return self._find(SINGLE, "", Resistors)

    def _find(self, section: str, name: str, cls: type[K]) -> K | None:
        """Return a kind; the file that has it first counts."""
        if (section, name) not in self._known:
            self._known[section, name] = self._read(section, name)
        found = self._known[section, name]
        return found if isinstance(found, cls) else None

    def _read(self, section: str, name: str) -> Kind | None:
        """Read one kind from the first file that has it."""
        path = (section,) if section == SINGLE else (section, name)
        for file in self._files:
            said = file.values.get(section) or {}
            said = said if section == SINGLE else said.get(name)
            if said:
                cls, read = READERS[section]
                kind: Kind = cls(
                    name=name, title=as_text(said.get("title")) or name, path=path, data=file, **read(said)
                )
                return kind
        return None


def catalogue(layout: Layout) -> Catalogue:
    """Return the parts a plan may name; read once for each plan."""
    if "parts" not in layout.cache:
        layout.cache["parts"] = Catalogue(layout.library.parts)
    known: Catalogue = layout.cache["parts"]
    return known


def _sources(values: dict[str, Any]) -> dict[str, Source]:
    """Read the sources a file names."""
    return {
        name: Source(**{key: as_text(value) for key, value in said.items()})
        for name, said in (values.get("sources") or {}).items()
    }
