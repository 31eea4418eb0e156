"""What is drawn of a signal: its form with what hangs on it; and what it shows, lamp by lamp."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright.placed import shared
from lampwright.rulebooks.anatomy import DARK, LIT, UNLIT_STATES
from lampwright.tables.beats import beat
from lampwright.tables.lamps import told

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks.displays import FormReader
    from lampwright.tables import Beat, Command

NOTHING: Final = "nothing lit"
PRESENT: Final = frozenset({LIT, "present"})
"""What is said of a box or plate that has no content."""


class Subject(Struct, frozen=True):
    """A signal as it is drawn; ``name`` is empty for a form of a rulebook that stands nowhere.

    ``arms`` are rows of lights, as (indicator, position); ``boxes`` what has a content; ``plates`` with their figures;
    ``outputs`` those of each lamp, by its name in the form, and of each indicator, by its own.
    """

    name: str
    form: FormReader
    arms: tuple[tuple[str, str], ...] = ()
    boxes: tuple[str, ...] = ()
    plates: tuple[tuple[str, str], ...] = ()
    mount: str = ""
    blanked: frozenset[str] = frozenset()
    outputs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def title(self) -> str:
        """The form as a reader calls it."""
        return self.form.form.title or self.form.name


class Lit(Struct, frozen=True):
    """One lamp that is not dark: its colour, how it is lit (empty if steady), and its beat if it flashes."""

    colour: str
    way: str = ""
    beat: Beat | None = None

    @property
    def said(self) -> str:
        """How it is lit, in words."""
        return " ".join(filter(None, (self.colour, {"flash": "flashing"}.get(self.way, self.way))))


class Shown(Struct, frozen=True):
    """What a signal shows: lamps by all their names, boxes with their content (empty if only lit), its name.

    ``plates`` must hang there for it to be read so, each with its figures.
    """

    name: str = ""
    lamps: Mapping[str, Lit] = field(default_factory=dict)
    boxes: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()
    plates: tuple[tuple[str, str], ...] = ()

    @property
    def said(self) -> str:
        """What is seen, in words."""
        lamps = [_in_words(name, lit) for name, lit in self.lamps.items()]
        boxes = [f"{name} {content or LIT}" for name, content in self.boxes.items()]
        return ", ".join(lamps + boxes) or NOTHING


def _in_words(name: str, lit: Lit) -> str:
    """Say which lamp is lit and how; a name that ends in the colour says that already."""
    said = lit.said.removeprefix(lit.colour).strip() if name.endswith(lit.colour) else lit.said
    return f"{name.replace('.', ' ')} {said}".strip()


DARK_SIGNAL: Final = Shown()


def of_form(form: FormReader) -> Subject:
    """Return a form of a rulebook as it comes: nothing hangs on it."""
    return Subject("", form)


def of_signal(signal: BoundSignal) -> Subject | None:
    """Return a signal of a plan; None if its form is not known."""
    form, entry = signal.reader, signal.entry
    if form is None or signal.rulebook is None:
        return None
    arms, boxes = _carried(signal)
    return Subject(
        signal.name,
        form,
        arms,
        boxes,
        tuple((name, "" if figures in PRESENT else figures) for name, figures in entry.plates.items()),
        entry.mount,
        frozenset(name for lamp in entry.blanked if (name := signal.element(lamp))),
        _outputs(signal),
    )


def _outputs(signal: BoundSignal) -> dict[str, tuple[str, ...]]:
    """Return the outputs of each lamp and indicator; of one that has several, each with its colour or content."""
    found: dict[str, tuple[str, ...]] = {}
    for lamp in told(signal):
        which = lamp.content or (lamp.colour if lamp.many else "")
        for name in lamp.names if lamp.outputs else ():
            found[name] = (*found.get(name, ()), *(f"{which} {output}".strip() for output in lamp.outputs))
    return found


def of_display(form: FormReader, name: str, display: Mapping[str, str]) -> Shown:
    """Return a display of a form, under the name of its aspect."""
    lamps: dict[str, Lit] = {}
    boxes: dict[str, str] = {}
    for element, state in display.items():
        if element in form.lamps:
            if lit := _lit(form, element, state):
                lamps |= dict.fromkeys(shared(form, element), lit)
        elif state not in UNLIT_STATES and _is_box(form, element):
            boxes[_indicator(form, element)] = _content(form, element, state)
    return Shown(name, lamps, boxes, tuple(_beside(form, display)), tuple(_plates(form, display)))


def of_command(subject: Subject, command: Command) -> Shown:
    """Return what a signal shows under a command of its table."""
    form = subject.form
    lamps: dict[str, Lit] = {}
    for shine in command.lamps:
        if shine.lit and shine.lamp in form.lamps:
            way = "" if shine.flash is None else "flash"
            lamps |= dict.fromkeys(shared(form, shine.lamp), Lit(shine.colour, way, shine.flash))
    notes = (f"beside plate {plate}" for plate in command.plates)
    return Shown(command.name, lamps, dict(command.boxes), tuple(notes))


def _lit(form: FormReader, lamp: str, state: str) -> Lit | None:
    """Return a lamp in a state; None if it is dark."""
    if state in UNLIT_STATES:
        return None
    colours = colours_of(form, lamp)
    words = state.split()
    colour = next((word for word in words if word in colours), colours[0] if colours else "")
    way = " ".join(word for word in words if word not in (colour, LIT))
    return Lit(colour, way, beat(form.rulebook, way) if way else None)


def colours_of(form: FormReader, lamp: str) -> tuple[str, ...]:
    """Return the colours a lamp can show."""
    if form.parts:
        part, _, inner = lamp.partition(".")
        return colours_of(form.parts[part], inner)
    return form.anatomy.lamps[lamp].colours


def _beside(form: FormReader, display: Mapping[str, str]) -> Iterator[str]:
    """Yield what else belongs to a display: plates that must hang there, or must not."""
    for name, state in display.items():
        inner = name.rpartition(".")[2]
        if inner in form.rulebook.plates:
            yield f"{'without' if state in UNLIT_STATES else 'with'} plate {inner}"
        elif name not in form.lamps and state in UNLIT_STATES and state != DARK:
            yield f"without {inner}"


def _plates(form: FormReader, display: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """Yield the plates that must hang there, with their figures."""
    for name, state in display.items():
        inner = name.rpartition(".")[2]
        if inner in form.rulebook.plates and state not in UNLIT_STATES:
            yield inner, "" if state in PRESENT else state


def _is_box(form: FormReader, element: str) -> bool:
    """Tell whether an element is an indicator or a position of one."""
    return bool(_indicator(form, element))


def _indicator(form: FormReader, element: str) -> str:
    """Return the indicator that an element is, or is a position of; empty if it is none."""
    names = (element, element.rpartition(".")[2], element.partition(".")[0])
    indicators = form.rulebook.indicators
    own = next((name for name in names if name in indicators), "")
    return own or next((name for name, one in indicators.items() if names[1] in one.positions), "")


def _content(form: FormReader, element: str, state: str) -> str:
    """Return what stands in a box: a position, a character; empty if it is only lit."""
    last = element.rpartition(".")[2]
    if last in form.rulebook.indicators[_indicator(form, element)].positions:
        return last
    return "" if state in PRESENT else state


def _carried(signal: BoundSignal) -> tuple[tuple[tuple[str, str], ...], tuple[str, ...]]:
    """Return the arms and boxes that a signal carries; if the plan says none, those its routes light."""
    names = [item.name for item in signal.entry.carries or ()]
    if signal.entry.carries is None:
        names = [item.name for route in signal.entry.routes for item in route.indications]
    found = dict.fromkeys(one for name in names if (one := signal.indicator(name)) is not None)
    boxes = [name for name, position in found if not position]
    return tuple(one for one in found if one[1]), tuple(dict.fromkeys(boxes))
