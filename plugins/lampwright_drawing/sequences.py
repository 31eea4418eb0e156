"""The aspect sequence chart of a signal: all it can be asked to show, with all that then stands ahead, each drawn."""

from __future__ import annotations

from textwrap import wrap
from typing import TYPE_CHECKING, Final

from lampwright.tables import tables
from lampwright.tables.boxes import for_route
from lampwright.working.reach import reach
from lampwright.working.stories import shown as in_words
from lampwright.working.stories import way
from lampwright_drawing.elevations import signal as drawn
from lampwright_drawing.grid import GLYPH, headed
from lampwright_drawing.inks import LEGEND
from lampwright_drawing.subjects import DARK_SIGNAL, of_command, of_display, of_signal
from lampwright_drawing.svg import Markup, Piece, number, tag, text, told

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.layout import BoundSignal, Layout
    from lampwright.tables import Beat
    from lampwright.working.reach import Reach, State
    from lampwright_drawing.subjects import Shown, Subject

SCALE: Final = 0.72
COLUMN: Final = 132.0
MARGIN: Final = 190.0
FARTHEST: Final = 6
"""How many signals one row shows: no rulebook looks farther."""
NOTE: Final = (
    "Trains run from left to right. Each row is the shortest way in which the first signal comes to show that."
)


def sequence(layout: Layout, name: str) -> Piece:
    """Return the aspect sequence chart of one signal of a plan."""
    found = reach(layout)
    rows = list(_rows(found, name))
    top, width = 0.0, 0.0
    body: list[Markup] = []
    beats: set[Beat] = set()
    for chain in rows:
        row = _row(chain, top)
        body.append(row.body)
        beats |= row.beats
        top, width = top + row.height, max(width, row.width)
    signal = layout.signals[name]
    title = f"Aspect sequence of {name}"
    below = ", ".join(filter(None, (signal.form_name, layout.plan.name, layout.year_text)))
    desc = "; ".join(", ".join(f"{one.stand.name} {in_words(one)}" for one in chain) for chain in rows)
    piece = Piece(width, top, tag("g", *body, class_="sequence"), beats=frozenset(beats))
    return headed(piece, title, below, (NOTE, LEGEND, "For model railways only."), desc)


def _rows(found: Reach, name: str) -> Iterator[list[State]]:
    """Yield what the signal can show, each once on each way, with what stands ahead of it, nearest first."""
    seen: set[tuple[str, str]] = set()
    for state in found.of(name):
        key = _way(state), in_words(state)
        if key not in seen:
            seen.add(key)
            yield _chain(found, state)


def _chain(found: Reach, state: State) -> list[State]:
    """Return a state with those of the signals ahead that it takes."""
    world = found.worlds.of(state) or {}
    chain = [state]
    while chain[-1].needs and len(chain) < FARTHEST:
        stand = found.network.stands.get(chain[-1].needs[0].key)
        ahead = world.get(stand.name) if stand is not None else None
        if ahead is None or ahead in chain:
            break
        chain.append(ahead)
    return chain


def _way(state: State) -> str:
    """Return the route that is set."""
    if state.via is None:
        return "no route set"
    return way(state, state.route) if state.route else f"tells of {state.via.exit or state.via.ahead[0]}"


def _row(chain: list[State], top: float) -> Piece:
    """Draw one row: the way, then each signal above its name and what it shows."""
    pieces = [_drawn(state) for state in chain]
    deep = max(piece.height for piece in pieces) * SCALE
    foot = top + deep + 8
    body = [_words(chain[0], foot - deep / 2)]
    words = 0
    for index, (state, piece) in enumerate(zip(chain, pieces, strict=True)):
        middle = MARGIN + index * COLUMN + COLUMN / 2
        left, upper = middle - piece.width * SCALE / 2, foot - piece.height * SCALE
        move = f"translate({number(left)} {number(upper)}) scale({SCALE})"
        lines = wrap(in_words(state) or "nothing that is known", int(COLUMN / GLYPH[""]))
        words = max(words, len(lines))
        body.append(tag("g", told(piece), transform=move))
        body += [text(middle, foot + 14, state.stand.name, "strong", "middle")]
        body += [text(middle, foot + 28 + 13 * line, said, "", "middle") for line, said in enumerate(lines)]
    width = MARGIN + COLUMN * len(chain)
    height = deep + 34 + 13 * words + 16
    body.append(tag("line", class_="rule", x1=0, y1=top + height - 8, x2=width, y2=top + height - 8))
    beats = frozenset(beat for piece in pieces for beat in piece.beats)
    return Piece(width, height, tag("g", *body, class_="row"), beats=beats)


def _words(state: State, y: float) -> Markup:
    """Write at the margin on which way, and whether a train must be near."""
    said = wrap(_way(state), int(MARGIN / GLYPH[""]))
    near = ["once a train is near"] if state.near is not None else []
    allowed = ["(allowed, not asked first)"] if state.answer.allowed else []
    lines = [*said, *near, *allowed]
    return tag("g", *(text(0, y + 13 * line, words) for line, words in enumerate(lines)))


def _drawn(state: State) -> Piece:
    """Draw the signal of a state; a form that is not known is an empty place."""
    signal = state.stand.signal
    subject = of_signal(signal)
    if subject is None:
        return Piece(40, 60, text(20, 40, "?", "head", "middle"), f"{signal.name}: form not known")
    return drawn(subject, _shown(signal, state), caption=" ")


def _shown(signal: BoundSignal, state: State) -> Shown:
    """Return what is lit: the command of the signal's table for these aspects, with what the route lights beside.

    What the table has no command for, as parts that only a route keeps dark, is put together from its displays.
    """
    table, subject = tables(signal.layout).signals.get(signal.name), of_signal(signal)
    if table is None or subject is None:
        return DARK_SIGNAL
    aspects = dict(state.answer.shows)
    fitting = [one for one in table.commands if dict(one.aspects) == aspects]
    wanted = set(for_route(signal, state.route)) if state.route else set()
    best = next((one for one in fitting if set(one.boxes) == wanted), None)
    best = best or next((one for one in fitting if not one.boxes), next(iter(fitting), None))
    return of_command(subject, best) if best else of_display(subject.form, in_words(state), _display(subject, aspects))


def _display(subject: Subject, aspects: dict[str, str]) -> dict[str, str]:
    """Return the lamps of several parts, each with its aspect."""
    shown: dict[str, str] = {}
    for part, aspect in aspects.items():
        for display in subject.form.displays(f"{part}.{aspect}" if part else aspect)[:1]:
            shown |= display
    return shown
