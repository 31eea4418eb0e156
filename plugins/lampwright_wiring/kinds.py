"""Kinds of parts as the parts data tell them: exact amounts in V, A, ohm, Hz and nm, each with its source."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING, Any

from msgspec import Struct, field

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.findings import Citation, Path, Spot
    from lampwright.rulebooks.model import Source

ZERO = Fraction(0)


class Spread(Struct, frozen=True):
    """The least, typical and greatest value something can have."""

    least: Fraction
    typical: Fraction
    most: Fraction

    @classmethod
    def exactly(cls, value: Fraction) -> Spread:
        """Return a spread of one value."""
        return cls(value, value, value)

    def plus(self, other: Spread) -> Spread:
        """Return the sums, corner by corner."""
        return Spread(self.least + other.least, self.typical + other.typical, self.most + other.most)

    def times(self, factor: Fraction | int) -> Spread:
        """Return every value multiplied."""
        return Spread(self.least * factor, self.typical * factor, self.most * factor)


NO_DROP = Spread.exactly(ZERO)


class PartsFile(Struct, frozen=True):
    """A file of parts data with its sources; what ``rulebooks.sources`` asks for."""

    file: str
    values: Mapping[str, Any]
    sources: Mapping[str, Source]
    origins: Mapping[Path, Spot] = field(default_factory=dict)


class Kind(Struct, frozen=True, eq=False):
    """What all kinds of parts have: a name, a title, and where they are told. Read once, each equals itself only."""

    name: str
    title: str
    path: Path
    data: PartsFile

    def why(self, *steps: str) -> Citation:
        """Return the source of a datum of this kind, as in ``why("limits", "sink")``."""
        from lampwright.rulebooks.sources import why

        return why(self.data, (*self.path, *steps))

    def spot(self, *steps: str, label: str = "") -> Spot:
        """Return where a datum of this kind is written."""
        from lampwright.rulebooks.sources import spot

        return spot(self.data, (*self.path, *steps), label=label, on_key=not steps)


class LedKind(Kind, frozen=True, eq=False):
    """A kind of LED. One of several colours has ``dies`` (the kind of each) and ``leads``, and no ``vf`` of its own.

    ``resistor`` is ``built-in`` (then it takes ``current`` at ``made_for``), ``unknown`` or empty.
    """

    colour: str = ""
    vf: Spread | None = None
    limit: Fraction | None = None
    wavelength: tuple[Fraction, Fraction] | None = None
    chromaticity: tuple[Fraction, Fraction] | None = None
    intensity: tuple[Fraction, Fraction] | None = None
    tested: Fraction | None = None
    resistor: str = ""
    made_for: Fraction | None = None
    current: Fraction | None = None
    leads: str = ""
    dies: Mapping[str, str] = field(default_factory=dict)


class Pwm(Struct, frozen=True):
    """How a board dims: steps of brightness, and how its one frequency comes about."""

    steps: int
    oscillator: Fraction | None = None
    prescale: tuple[int, int] | None = None
    default: int | None = None
    frequency: tuple[Fraction, Fraction] | None = None


class ConstantCurrent(Struct, frozen=True):
    """How a board that sets currents is set: ``times`` the current that ``volts`` drive through a resistor."""

    volts: Fraction
    times: Fraction
    span: tuple[Fraction, Fraction] | None = None
    tolerance: Fraction = ZERO
    headroom: Fraction = ZERO


class Group(Struct, frozen=True):
    """Outputs of a board that share limits."""

    outputs: tuple[str, ...]
    limits: Mapping[str, Fraction]


class BoardKind(Kind, frozen=True, eq=False):
    """A kind of board; ``limits`` by ``sink``, ``source`` (each output) and ``package``, ``drop`` by way."""

    outputs: tuple[str, ...] = ()
    drives: tuple[str, ...] = ()
    limits: Mapping[str, Fraction] = field(default_factory=dict)
    groups: tuple[Group, ...] = ()
    supply: tuple[Fraction, Fraction] | None = None
    high: Fraction | None = None
    stands: Fraction | None = None
    drop: Mapping[str, Spread] = field(default_factory=dict)
    uses: Fraction | None = None
    control: Fraction = ZERO
    power_up: str = ""
    one_sense: bool = False
    pwm: Pwm | None = None
    addresses: range | None = None
    forbidden: tuple[tuple[range, str], ...] = ()
    refresh: int | None = None
    chained: bool = False
    constant_current: ConstantCurrent | None = None


class SwitchKind(Kind, frozen=True, eq=False):
    """What stands between an output and its LEDs; lit while the output is ``driven`` (``high``, ``low``, or empty)."""

    drives: str = ""
    channels: int = 1
    limit: Fraction | None = None
    stands: Fraction | None = None
    drop: Spread = NO_DROP
    control: Fraction = ZERO
    driven: str = "high"


class ControllerKind(Kind, frozen=True, eq=False):
    """A kind of controller."""

    uses: Fraction | None = None
    bus: Fraction | None = None


class SupplyKind(Kind, frozen=True, eq=False):
    """A kind of supply; ``at_start`` is what it gives before more has been asked for."""

    voltage: Spread | None = None
    limit: Fraction | None = None
    at_start: Fraction | None = None


class Series(Kind, frozen=True, eq=False):
    """A series of preferred numbers: those of one decade, least first."""

    numbers: tuple[int, ...] = ()


class Resistors(Kind, frozen=True, eq=False):
    """What resistors are taken for where a plan does not say."""

    series: str = ""
    rating: Fraction | None = None
    derating: Fraction = Fraction(2)


class WireKind(Kind, frozen=True, eq=False):
    """A size of wire: ohm a metre and mm2."""

    resistance: Fraction | None = None
    area: Fraction | None = None


class ColourKind(Kind, frozen=True, eq=False):
    """What the light of a signal's colour must be: wavelengths by set of limits, narrowest first; x of white."""

    known_as: tuple[str, ...] = ()
    ranges: Mapping[str, tuple[Fraction, Fraction]] = field(default_factory=dict)
    white: tuple[Fraction, Fraction] | None = None


class Refusal(Kind, frozen=True, eq=False):
    """A way of wiring that no plan can use here."""

    because: str = ""
