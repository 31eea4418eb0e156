"""What a rulebook says, as frozen records: form, display, aspect, indication and sequence kept apart."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from msgspec import Struct, field

from lampwright.years import ALWAYS, Years

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Citation, Path, Spot
    from lampwright.rulebooks.order import Order

Elements = tuple[tuple[str, str], ...]
"""Elements of a form with the state of each, as a rulebook or plan names them."""


class Evidence(Struct, frozen=True):
    """Where data come from: the source of all below, of single paths, and who disagrees."""

    source: tuple[str, ...] = ()
    source_of: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    disputed: Mapping[str, Any] = field(default_factory=dict)
    note: str = ""


UNSOURCED = Evidence()


class Dated(Struct, frozen=True):
    """A thing that was in use in some years; ``fitted`` are those in which new ones were put up."""

    years: Years = ALWAYS
    fitted: Years = ALWAYS
    title: str = ""
    evidence: Evidence = UNSOURCED


class Source(Struct, frozen=True):
    """A document or page that data rest on."""

    title: str = ""
    publisher: str = ""
    issue: str = ""
    date: str = ""
    basis: str = "memory"
    note: str = ""


class Lamp(Dated, frozen=True):
    """One lamp place: its colours (several if one lens can change), and where it is seen.

    ``at`` holds one or more ``[right, up]`` in lamp steps as the driver sees it; empty if not known.
    """

    colours: tuple[str, ...] = ()
    at: tuple[tuple[Any, Any], ...] = ()
    size: str = ""
    place: str = "fitted"
    unpowered: str = ""


class Head(Dated, frozen=True):
    """Several lamps, or one lens, that one letter describes: ``letters`` are what it can show, top down."""

    letters: str = ""
    at: tuple[Any, Any] | None = None
    lens: bool = False
    unpowered: str = ""
    role: str = ""
    lamps: Mapping[str, Lamp] = field(default_factory=dict)
    faces: Mapping[str, tuple[str, ...]] = field(default_factory=dict)


class Part(Struct, frozen=True):
    """A form that stands on the post of another and is read by itself."""

    form: str = ""
    at: tuple[Any, Any] | None = None


class Coupling(Struct, frozen=True):
    """What one element forces on others: ``when`` a condition holds ``then``, and ``otherwise``."""

    when: Mapping[str, Any] = field(default_factory=dict)
    then: Mapping[str, str] = field(default_factory=dict)
    otherwise: Mapping[str, str] = field(default_factory=dict)
    evidence: Evidence = UNSOURCED


class AlsoRead(Struct, frozen=True):
    """A display nobody commands but that reads as an aspect."""

    aspect: str = ""
    shows: Elements = ()
    evidence: Evidence = UNSOURCED


class Fault(Struct, frozen=True):
    """A single fault the rulebook answers: an interlock (``then``) or a reason to accept it."""

    lost: str = ""
    stuck: str = ""
    steady: str = ""
    within: tuple[str, ...] = ()
    then: str = ""
    accepted: str = ""
    evidence: Evidence = UNSOURCED


class Form(Dated, frozen=True):
    """A kind of signal as hardware, with the displays it makes of the aspects it can give."""

    roles: tuple[str, ...] = ()
    mount: str = ""
    marks: Mapping[str, str] = field(default_factory=dict)
    lamps: Mapping[str, Lamp] = field(default_factory=dict)
    heads: Mapping[str, Head] = field(default_factory=dict)
    parts: Mapping[str, Part] = field(default_factory=dict)
    shared: tuple[tuple[str, ...], ...] = ()
    shows: Mapping[str, Elements] = field(default_factory=dict)
    optional: tuple[str, ...] = ()
    gives: tuple[str, ...] = ()
    in_doubt: str = ""
    rest: Any = None
    failsafe: str = ""
    lit: str = ""
    eye_level: str = ""
    indicators: tuple[str, ...] = ()
    plates: tuple[str, ...] = ()
    coupling: tuple[Coupling, ...] = ()
    also_read: tuple[AlsoRead, ...] = ()
    read_by: str = "place"
    faults: tuple[Fault, ...] = ()
    follows: str = ""
    alternative_names: Mapping[str, str] = field(default_factory=dict)


class Aspect(Dated, frozen=True):
    """A named display and what it tells the driver; ``says`` is empty where that is not established."""

    code: str = ""
    name: str = ""
    says: Mapping[str, Any] = field(default_factory=dict)
    shows: Elements | None = None
    patterns: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    alternative_names: Mapping[str, str] = field(default_factory=dict)


class Indicator(Dated, frozen=True):
    """A route or speed indicator beside the main aspect."""

    kind: str = ""
    colour: str = ""
    at: tuple[Any, Any] | None = None
    lamps: Mapping[str, Any] = field(default_factory=dict)
    positions: Mapping[str, str] = field(default_factory=dict)
    characters: str = ""
    at_most: int = 0
    figures: str = ""
    times: str = ""
    shows: Mapping[str, Any] = field(default_factory=dict)
    confusable: tuple[tuple[str, ...], ...] = ()
    needed: Mapping[str, Any] = field(default_factory=dict)
    stands_with: Any = None
    proved: bool = False
    alternative_names: Mapping[str, str] = field(default_factory=dict)


class Plate(Dated, frozen=True):
    """A plate on the post; it may carry figures (``times`` their unit)."""

    colour: str = ""
    figures: str = ""
    times: str = ""


class Regime(Struct, frozen=True):
    """A working under which every display changes alike, told by a plate."""

    told_by: str = ""
    mirror: bool = False
    every_lamp: str = ""
    evidence: Evidence = UNSOURCED


class Rule(Dated, frozen=True):
    """One line of the sequence: under ``when``, the first of ``show`` the form can give must stand."""

    when: Mapping[str, Any] = field(default_factory=dict)
    show: tuple[str, ...] = ()
    may: tuple[str, ...] = ()
    table: Mapping[str, Any] = field(default_factory=dict)


class Incomparable(Struct, frozen=True):
    """Two aspects of which neither is the more restrictive, and why."""

    pair: tuple[str, ...] = ()
    because: str = ""
    evidence: Evidence = UNSOURCED


class Rulebook(Struct, frozen=True):
    """One prototype system: everything its data file says, and where each datum comes from.

    ``like`` inside the file is resolved; ``origins`` remembers where a copied value was written.
    """

    path: ClassVar[Path] = ()

    id: str = ""
    title: str = ""
    territory: str = ""
    network: str = ""
    edition: str = ""
    years: Years = ALWAYS
    evidence: Evidence = UNSOURCED
    sources: Mapping[str, Source] = field(default_factory=dict)
    parameters: Mapping[str, Any] = field(default_factory=dict)
    states: Mapping[str, Any] = field(default_factory=dict)
    colours: Mapping[str, Any] = field(default_factory=dict)
    notation: Mapping[str, str] = field(default_factory=dict)
    speeds: Mapping[str, Any] = field(default_factory=dict)
    eras: Mapping[str, Any] = field(default_factory=dict)
    aspects: Mapping[str, Aspect] = field(default_factory=dict)
    chains: tuple[tuple[str, ...], ...] = ()
    incomparable: tuple[Incomparable, ...] = ()
    forms: Mapping[str, Form] = field(default_factory=dict)
    indicators: Mapping[str, Indicator] = field(default_factory=dict)
    plates: Mapping[str, Plate] = field(default_factory=dict)
    regimes: Mapping[str, Regime] = field(default_factory=dict)
    sequence: Mapping[str, tuple[Rule, ...]] = field(default_factory=dict)
    never: tuple[Any, ...] = ()
    file: str = ""
    values: Mapping[str, Any] = field(default_factory=dict)
    origins: Mapping[Path, Spot] = field(default_factory=dict)
    cache: dict[Any, Any] = field(default_factory=dict)

    def __eq__(self, other: object) -> bool:
        """Tell whether two books say the same, wherever and however it is written."""
        said = self.__struct_fields__[: self.__struct_fields__.index("file")]
        return isinstance(other, Rulebook) and all(getattr(self, name) == getattr(other, name) for name in said)

    __hash__ = None  # type: ignore[assignment]  # it holds maps

    def spot(self, *path: str | int, label: str = "", on_key: bool = False) -> Spot:
        """Return where a datum is written, followed through ``like``."""
        from lampwright.rulebooks.sources import spot

        return spot(self, path, label=label, on_key=on_key)

    def why(self, *path: str | int) -> Citation:
        """Return the source of a datum and how well it is known; the nearest one named counts. Worked out once."""
        from lampwright.rulebooks.sources import why

        known: dict[Path, Citation] = self.cache.setdefault("why", {})
        if path not in known:
            known[path] = why(self, path)
        return known[path]

    @property
    def order(self) -> Order:
        """The declared partial order of restriction, worked out once."""
        from lampwright.rulebooks.order import Order

        if "order" not in self.cache:
            self.cache["order"] = Order(self)
        ordered: Order = self.cache["order"]
        return ordered
