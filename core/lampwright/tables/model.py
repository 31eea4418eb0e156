"""The tables of a plan: exact, without volts and without the steps of a board; who exports them scales."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from msgspec import Struct, field

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping


class Beat(Struct, frozen=True, order=True):
    """How lamps flash: ``per_minute`` times, lit for a share of each turn from ``phase`` (degrees) on.

    Between flashes they keep the share ``floor`` of their lightness. Lamps of one beat keep time with each other.
    ``assumed`` names what the rulebook does not say: ``rate``, ``lit-share``.
    """

    per_minute: Fraction
    lit: Fraction
    phase: int = 0
    floor: Fraction = Fraction(0)
    assumed: tuple[str, ...] = ()


class Shine(Struct, frozen=True):
    """One lamp in one of its colours under a command, at one of its outputs; also if it is dark (``level`` nought).

    ``lamp`` is its full name (``red``, ``main.red``, ``position-1``, ``alphanumeric M``). ``output`` is as the plan
    writes it, ``A.3``; None while it is not wired. ``level`` is the share of full lightness (CIE L* / 100).
    ``flash`` is how it flashes, None if it is steady or dark; ``fades`` how it comes and goes, as the plan says.
    """

    lamp: str
    colour: str
    output: str | None
    level: Fraction
    flash: Beat | None = None
    fades: str = ""

    @property
    def lit(self) -> bool:
        """Whether it is not dark."""
        return self.level > 0


class Command(Struct, frozen=True):
    """One thing a signal can be told to show: a number, a name, and every lamp of the signal, dark ones too.

    ``aspects`` are by the part of the signal (the part is empty if it has none); ``boxes`` are the indicators lit
    beside them, with what stands in them: ``M``, ``flash``, ``flash M``, or nothing that is told. ``plates`` must hang
    on the post for it to be read as it is named.
    """

    number: int
    name: str
    lamps: tuple[Shine, ...]
    aspects: tuple[tuple[str, str], ...] = ()
    boxes: tuple[tuple[str, str], ...] = ()
    plates: tuple[str, ...] = ()

    @property
    def outputs(self) -> dict[str, Shine]:
        """What each output of the signal does: that of the lamps on it which asks for most, steady before flashing."""
        found: dict[str, Shine] = {}
        for shine in self.lamps:
            if shine.output is not None:
                other = found.get(shine.output)
                if other is None or _asks(shine) > _asks(other):
                    found[shine.output] = shine
        return found

    @property
    def lit(self) -> frozenset[tuple[str, str]]:
        """The lamps that are not dark, each with its colour."""
        return frozenset((shine.lamp, shine.colour) for shine in self.lamps if shine.lit)


class SignalTable(Struct, frozen=True):
    """All commands of one signal by their numbers, least first; numbers may be left out.

    A number belongs to what the form can show: a signal that gives fewer aspects leaves numbers out. Nought is the most
    restrictive display, ``failsafe`` the one it falls to when nothing is commanded. ``polarity`` is that of its lamps.
    """

    signal: str
    address: int | None
    commands: tuple[Command, ...]
    failsafe: Command
    fades: str = ""
    polarity: Mapping[str, str] = field(default_factory=dict)

    def command(self, number: int) -> Command | None:
        """Return a command by its number."""
        return next((one for one in self.commands if one.number == number), None)

    def named(self, name: str) -> Command | None:
        """Return a command by its name."""
        return next((one for one in self.commands if one.name == name), None)

    @property
    def outputs(self) -> tuple[str, ...]:
        """Every output of the signal, each once, in the order of its lamps."""
        return tuple(dict.fromkeys(shine.output for shine in self.failsafe.lamps if shine.output is not None))


class LeftOut(Struct, frozen=True):
    """A signal that has no table, and why."""

    signal: str
    because: str


class Tables(Struct, frozen=True):
    """The tables of every signal of a plan, by name in the order of the names."""

    signals: Mapping[str, SignalTable]
    left_out: tuple[LeftOut, ...] = ()

    def beats(self) -> tuple[Beat, ...]:
        """Return every beat that some lamp flashes in, each once, slowest first."""
        return tuple(sorted({shine.flash for shine in self._shines() if shine.flash is not None}))

    def _shines(self) -> Iterator[Shine]:
        """Yield every lamp under every command."""
        for table in self.signals.values():
            for command in table.commands:
                yield from command.lamps


def _asks(shine: Shine) -> tuple[bool, bool, Fraction]:
    """Return by how much a lamp asks for its output to be lit."""
    return shine.lit, shine.flash is None, shine.level
