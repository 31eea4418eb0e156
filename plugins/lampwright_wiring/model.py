"""The electrics of a plan: boards, supplies, and what every lamp takes from which output; exact, in V, A and ohm.

``bind`` gives the whole of it. What a plan does not say is None or empty here, never a guess.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from msgspec import Struct, field

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from lampwright.findings import Path
    from lampwright.layout import Layout
    from lampwright.tables.lamps import Told
    from lampwright_wiring.catalogue import Catalogue
    from lampwright_wiring.kinds import BoardKind, ControllerKind, LedKind, Spread, SupplyKind, SwitchKind

SINK, SOURCE = "sink", "source"
ANTIPARALLEL = "antiparallel"
WAY_OF = {"common-anode": SINK, "common-cathode": SOURCE}
"""How an output must drive a head wired so."""
LIT_WHEN = frozenset({("low", SINK), ("high", SOURCE)})
"""Levels of an output, and the way it acts: so it lights what hangs on it."""
SERIES, PARALLEL = "series", "parallel"
BUILT = frozenset({"built", "proved"})
"""Stages of a signal whose wires are there."""


class Output(Struct, frozen=True, order=True):
    """One output of a board, by the names the plan gives them."""

    board: str
    name: str

    def __str__(self) -> str:
        """Return the output as a plan writes it."""
        return f"{self.board}.{self.name}"


class Resistor(Struct, frozen=True):
    """What limits the current of one LED (or, ``shared``, of several in parallel).

    ``how`` is ``said``, ``sized`` (chosen here for the current that is meant), ``built-in``, ``none``, ``unknown``,
    or empty if nothing is said. ``ohms`` is None where it is not known, and where there is none.
    """

    ohms: Fraction | None = None
    how: str = ""
    shared: bool = False


class Load(Struct, frozen=True):
    """The LEDs that one output lights for one lamp, wherever they are wired to; ``path`` is where the plan says it.

    ``led`` is of one colour; ``package`` is the LED of several colours it sits in. ``aim`` is the current that one
    LED is meant to have; where the lamp says its own resistor, that of its colour does not count. ``level`` is the
    share of full lightness (CIE L* / 100) it is set to. ``counted`` is whether the plan says how many LEDs there are.
    """

    path: Path
    colour: str = ""
    led: LedKind | None = None
    package: LedKind | None = None
    count: int = 1
    joined: str = ""
    counted: bool = False
    resistor: Resistor = Resistor()
    aim: Fraction | None = None
    level: Fraction = Fraction(1)
    switch: SwitchKind | None = None
    supply: str = ""
    polarity: str = ""

    @property
    def both_ways(self) -> bool:
        """Whether it stands between two outputs, and shows one colour or the other by the way of its current."""
        return self.package is not None and self.package.leads == ANTIPARALLEL

    @property
    def in_series(self) -> int:
        """How many LEDs one current runs through."""
        return self.count if self.joined == SERIES else 1

    @property
    def strings(self) -> int:
        """How many such strings stand side by side."""
        return self.count if self.joined == PARALLEL else 1


class Draw(Struct, frozen=True):
    """What a load takes when it is lit by an output of a given board, at the corners of Vf and supply.

    ``way`` is how the LEDs are driven and ``output_way`` how the output itself acts: they differ behind a switch.
    ``each`` is the current of one LED, ``at_output`` what the output carries, ``of_supplies`` what each supply gives
    for it. ``volts`` is what there is for LEDs and resistor, ``lost`` what outputs or switches keep of it.
    All are while lit, as if steadily on; None where the plan does not say enough.
    """

    way: str = ""
    output_way: str = ""
    supply: str = ""
    resistor: Resistor = Resistor()
    volts: Spread | None = None
    lost: Spread | None = None
    each: Spread | None = None
    total: Spread | None = None
    at_output: Spread | None = None
    of_supplies: tuple[tuple[str, Spread], ...] = ()


class Feed(Struct, frozen=True):
    """A load with its output and what it draws there; ``output`` is None while it is not wired.

    ``returns`` is the second output of an antiparallel LED. Feeds of one ``light`` are the same LEDs.
    """

    light: str
    load: Load
    output: Output | None = None
    returns: Output | None = None
    draw: Draw = Draw()


class WiredLamp(Struct, frozen=True, eq=False):
    """One lamp of a signal in one colour, or (``indicator`` set) what an indicator shows, with what lights it.

    ``names`` are its full names in the form (several where parts share it), or those of the indicator's box;
    ``content`` is what must stand in the box. ``said`` tells whether the plan tells the lamp at all: the others are
    those the form has. ``told`` is what is told of it apart from electrics. ``fibre`` is the lamp whose LED lights this
    one. ``dummy`` is never wired.
    """

    signal: str
    names: tuple[str, ...]
    colour: str
    path: Path
    told: Told
    feeds: tuple[Feed, ...] = ()
    many: bool = False
    indicator: str = ""
    content: str = ""
    said: bool = True
    fibre: str = ""
    dummy: bool = False
    pinned: bool = False
    built: bool = False
    polarity: str = ""
    level: Fraction = Fraction(1)
    detail: Mapping[str, object] = field(default_factory=dict)

    @property
    def name(self) -> str:
        """Its full name, or its colour where it is not known which lamp of the form it is."""
        return self.names[0] if self.names else self.colour

    @property
    def short(self) -> str:
        """What a person calls it on its signal: ``main.red``, ``lens green``, ``position-1``, ``alphanumeric M``."""
        name = self.names[-1] if self.indicator and self.names else self.name
        words = (name, self.colour if self.many else "", self.content)
        return " ".join(word for word in words if word)

    @property
    def label(self) -> str:
        """What a person calls it: ``HF3 main.red``, ``HF3 lens green``, ``HF3 alphanumeric M``."""
        return f"{self.signal} {self.short}"

    @property
    def outputs(self) -> tuple[Output, ...]:
        """The outputs it is wired to."""
        return tuple(one for feed in self.feeds for one in (feed.output, feed.returns) if one is not None)

    @property
    def fixed(self) -> bool:
        """Whether it must stay where it is."""
        return self.pinned or (self.built and bool(self.outputs))

    def state(self, display: Mapping[str, str]) -> str:
        """Return how it stands in a display by full names: empty if dark, else ``lit``, ``flash`` or another way."""
        return self.told.state(display)


class Supply(Struct, frozen=True, eq=False):
    """A supply as the plan has it; what it does not say is its kind's. ``joined`` are supplies that feed it."""

    name: str
    path: Path
    kind: SupplyKind | None = None
    volts: Spread | None = None
    limit: Fraction | None = None
    at_start: Fraction | None = None
    fuse: Fraction | None = None
    fed_by: tuple[str, ...] = ()


class Controller(Struct, frozen=True, eq=False):
    """A controller as the plan has it; ``step`` is the time between two steps of a fade, in seconds."""

    name: str
    path: Path
    kind: ControllerKind | None = None
    supply: str = ""
    uses: Fraction | None = None
    bus: Fraction | None = None
    step: Fraction | None = None


class Board(Struct, frozen=True, eq=False):
    """A board as the plan has it; ``supply`` and ``controller`` may come from the board before it in its chain.

    ``led_supply`` is where the LEDs' current comes from, ``drive`` the way that is said or the only one there is,
    ``aim`` the current a constant-current board is set to, ``ohms`` the resistor the board has in each output.
    """

    name: str
    path: Path
    kind: BoardKind | None = None
    controller: str = ""
    after: str = ""
    address: int | None = None
    frequency: Fraction | None = None
    supply: str = ""
    led_supply: str = ""
    switch: SwitchKind | None = None
    drive: str = ""
    uses: Fraction | None = None
    aim: Fraction | None = None
    ohms: Fraction = Fraction(0)
    held_dark: bool = False
    reserved: frozenset[str] = frozenset()
    servos: frozenset[str] = frozenset()
    length: Fraction | None = None
    wire: str = ""

    @property
    def free(self) -> tuple[Output, ...]:
        """The outputs that lamps may have, in order; none if the kind is not known."""
        kept = self.reserved | self.servos
        return tuple(Output(self.name, name) for name in (self.kind.outputs if self.kind else ()) if name not in kept)


class Used(Struct, frozen=True):
    """An output with all that hangs on it; ``board`` is None if the plan has none of that name."""

    output: Output
    board: Board | None
    lamps: tuple[tuple[WiredLamp, Feed], ...]


class Wiring(Struct, frozen=True, dict=True):
    """Everything electrical of a plan; ``resistances`` are what resistors there are to choose from, least first."""

    parts: Catalogue
    supplies: Mapping[str, Supply]
    controllers: Mapping[str, Controller]
    boards: Mapping[str, Board]
    resistances: tuple[Fraction, ...]
    lamps: tuple[WiredLamp, ...]

    @cached_property
    def by_output(self) -> dict[Output, list[tuple[WiredLamp, Feed]]]:
        """What hangs on each output that is used; a lamp lit through a fibre is not counted again."""
        found: dict[Output, list[tuple[WiredLamp, Feed]]] = {}
        for lamp in self.lamps:
            for feed in () if lamp.fibre else lamp.feeds:
                for output in (feed.output, feed.returns):
                    if output is not None:
                        found.setdefault(output, []).append((lamp, feed))
        return found

    @cached_property
    def used(self) -> tuple[Used, ...]:
        """Every output that is used, in the order in which the plan names them."""
        return tuple(Used(output, self.boards.get(output.board), tuple(on)) for output, on in self.by_output.items())

    @cached_property
    def _by_board(self) -> dict[str, list[Used]]:
        """The outputs that are used, by the name of their board."""
        found: dict[str, list[Used]] = {}
        for used in self.used:
            found.setdefault(used.output.board, []).append(used)
        return found

    def used_of(self, board: Board) -> Sequence[Used]:
        """Return the outputs of a board that are used, in the order in which the plan names them."""
        return self._by_board.get(board.name, ())

    @cached_property
    def in_order(self) -> tuple[Output, ...]:
        """Every output that is used, as boards and their outputs come; those of no board, or that it lacks, last."""
        places = {name: number for number, name in enumerate(self.boards)}

        def place(output: Output) -> tuple[int, int]:
            board = self.boards.get(output.board)
            names = board.kind.outputs if board is not None and board.kind is not None else ()
            at = names.index(output.name) if output.name in names else len(names)
            return places[output.board] if board is not None else len(places), at

        return tuple(sorted(self.by_output, key=lambda output: (*place(output), output)))

    def spare(self, board: Board) -> list[Output]:
        """Return the outputs of a board that lamps may have and none has."""
        return [output for output in board.free if output not in self.by_output]

    def lit_at_power_up(self, board: Board) -> list[tuple[WiredLamp, Feed]]:
        """Return what on a board is lit, or may be, until the controller has set it up; the same LEDs once."""
        if board.kind is None or board.held_dark:
            return []
        state = board.kind.power_up
        found = {
            feed.light: (lamp, feed)
            for used in self.used_of(board)
            for lamp, feed in used.lamps
            if state == "undefined" or (state, feed.draw.output_way) in LIT_WHEN
        }
        return list(found.values())

    @cached_property
    def by_signal(self) -> dict[str, list[WiredLamp]]:
        """The lamps of each signal, in the order in which the plan tells them."""
        found: dict[str, list[WiredLamp]] = {}
        for lamp in self.lamps:
            found.setdefault(lamp.signal, []).append(lamp)
        return found

    def draw(self, load: Load, board: str, head: str = "") -> Draw:
        """Return what a load would draw from an output of a board; ``head`` is the polarity of the signal's head."""
        from lampwright_wiring.drawing import drawn

        return drawn(self, load, board, head)


def bind(layout: Layout) -> Wiring:
    """Return the electrics of a plan, everything resolved; worked out once for each layout."""
    if "wiring" not in layout.cache:
        from lampwright_wiring.binding import bound

        layout.cache["wiring"] = bound(layout)
    known: Wiring = layout.cache["wiring"]
    return known
