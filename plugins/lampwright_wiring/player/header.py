"""Programs as a C header: names for the user's code, and the tables that the player plays."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Final

from lampwright_wiring import saying
from lampwright_wiring.player.arrays import arrays
from lampwright_wiring.player.names import Names, comment

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from lampwright.layout import Layout
    from lampwright.tables import Command, Shine
    from lampwright_wiring.player.numbers import Played, Program

Wanted = Mapping[str, "frozenset[int] | None"]
"""By signal, the numbers of the commands that routes ask for; None where the plan tells no route."""
TYPES: Final = """\
#include <stdint.h>

#ifndef LW_TABLES_H
#define LW_TABLES_H

#ifndef LW_KEEP
#define LW_KEEP /* where tables are kept: see player.md */
#endif

#define LW_NO_ADDRESS 0xFFu

/* A beat: each millisecond adds `adds`, the turn ends at `turn`; lit from `starts` on for `lasts`. */
struct lw_beat { uint32_t turn; uint32_t adds; uint32_t starts; uint32_t lasts; };
/* What an output does: `high` while its beat is lit, else `low`. */
struct lw_way { uint16_t high; uint16_t low; uint8_t beat; };
/* Where in lw_curves a fade begins, and how many steps it has. */
struct lw_fade { uint16_t rise; uint16_t rise_steps; uint16_t fall; uint16_t fall_steps; };
/* An output; `most` is its highest level in any command. */
struct lw_output {
    uint16_t top; uint16_t most; uint8_t board; uint8_t address; uint8_t channel; uint8_t lit_low; uint8_t fade;
};
/* A signal: where its outputs, numbers of commands and rows begin, how many there are, and what it falls to. */
struct lw_signal {
    uint32_t fingerprint; uint16_t output; uint16_t number; uint16_t row; uint16_t commands; uint16_t failsafe;
    uint8_t outputs;
};
"""


def header(programs: Sequence[Program], about: Iterable[str], wanted: Wanted) -> str:
    """Return the header of all controllers of a plan; each has a section of its own if there are several.

    ``about`` are the first lines of the comment above all: whose tables these are. ``wanted`` are the commands that
    routes ask for.
    """
    choices = Names()
    many = enumerate(programs if len(programs) > 1 else ())
    macros = [choices.new("controller", one.controller or "unnamed", own=number) for number, one in many]
    lines = [
        *_head(programs, macros, about),
        TYPES,
        *_sections(macros, (_names(one, wanted) for one in programs)),
        "\n#endif\n\n#ifdef LW_WITH_TABLES",
        *_sections(macros, map(arrays, programs)),
        "\n#endif",
    ]
    return "\n".join([*lines, ""])


def _sections(macros: Sequence[str], parts: Iterable[Iterable[str]]) -> Iterator[str]:
    """Yield the part of each controller; of several, the one that is defined where the header is compiled."""
    for number, part in enumerate(parts):
        if macros:
            yield f"\n#{'elif' if number else 'if'} defined({macros[number]})"
        yield from part
    if macros:
        yield f'\n#else\n#error "define one of {", ".join(macros)}"\n#endif'


def about(layout: Layout) -> Iterator[str]:
    """Yield what a plan is called and what of it is not in its tables."""
    from lampwright.tables import tables

    found = tables(layout)
    years = f" in {layout.year_text}" if layout.year_text else ""
    yield f"{layout.plan.values.get('name') or layout.plan.file}, {layout.rulebook_name}{years}."
    for one in found.left_out:
        yield f"Left out: {one.signal}, for {one.because}."
    for table in found.signals.values():
        bare = dict.fromkeys(shine.lamp for shine in table.failsafe.lamps if shine.output is None)
        if bare:
            yield f"Not wired at {table.signal}: {', '.join(bare)}."


def _head(programs: Sequence[Program], macros: Sequence[str], lines: Iterable[str]) -> Iterator[str]:
    """Yield the comment above all: whose tables, how to use them, cautions."""
    yield f"/* Tables for the player of Lampwright; fingerprint of the plan {programs[0].fingerprint}."
    yield from (f" * {line}" for one in lines for line in _wrapped(comment(one)))
    yield " *"
    yield " * Made by `lampwright export`: change the plan and export again, not this file. It always gives the names,"
    yield " * and the tables where LW_WITH_TABLES is defined."
    for program, macro in zip(programs, macros, strict=False):
        yield f" * For {comment(program.controller) or 'boards of no controller'}: #define {macro} 1"
    yield " *"
    yield " * For model railways only, never for a real one. Electrics:"
    yield from (f" * {line}" for line in _wrapped(f"{saying.CAUTION}."))
    yield " */"


def _wrapped(text: str) -> list[str]:
    """Return a sentence in lines."""
    import textwrap

    return textwrap.wrap(text, 110)


def _names(program: Program, wanted: Wanted) -> Iterator[str]:
    """Yield sizes, and the names of boards, signals and commands."""
    names = Names()
    counts = {
        "SIGNALS": len(program.signals),
        "OUTPUTS": sum(len(signal.places) for signal in program.signals),
        "BEATS": len(program.beats),
        "STEP_MS": program.step,
    }
    yield f"\n#define LW_FINGERPRINT 0x{program.fingerprint.upper()}u"
    yield from (f"#define LW_{name} {count}u" for name, count in counts.items())
    yield ""
    for number, board in enumerate(program.boards):
        address = "" if board.address is None else f" at 0x{board.address:02X}"
        kind = board.kind.title if board.kind else "board"
        yield f"#define {names.new('board', board.name, own=number)} {number}u /* {comment(kind)}{address} */"
    for number, signal in enumerate(program.signals):
        yield from _signal(number, signal, names, wanted.get(signal.table.signal))


def _signal(number: int, signal: Played, names: Names, wanted: frozenset[int] | None) -> Iterator[str]:
    """Yield the names of a signal and of what it can be told."""
    name = signal.table.signal
    address = "" if signal.table.address is None else f", address {signal.table.address}"
    yield f"\n/* {comment(name)}{address}: " + comment(", ".join(_hung(signal))) + " */"
    known_as = names.new("signal", name, own=number)
    yield f"#define {known_as} {number}u"
    for index, row in enumerate(signal.rows):
        falls = "; falls to it" if index == signal.failsafe else ""
        lit = comment(", ".join(_lit(row.command)) or "dark")
        shown, told = row.command.number, row.command.name
        never = "" if wanted is None or shown in wanted else "; no route asks for it"
        show = names.new("show", known_as.removeprefix("LW_SIGNAL_"), told, own=shown)
        yield f"#define {show} {shown}u /* {lit}{falls}{never} */"


def _hung(signal: Played) -> Iterator[str]:
    """Yield what hangs on each output."""
    for place in signal.places:
        yield f"{place.output} {' and '.join(place.lamps)}"


def _lit(command: Command) -> Iterable[str]:
    """Return the lamps that a command lights, those of several outputs once."""
    return dict.fromkeys(_as_lit(shine) for shine in command.lamps if shine.lit)


def _as_lit(shine: Shine) -> str:
    """Return a lamp as it is lit: ``flashing upper-yellow``, ``main.red at 60 %``."""
    colour = "" if not shine.colour or shine.colour in shine.lamp else f" {shine.colour}"
    level = "" if shine.level == 1 else f" at {saying.percent(shine.level)}"
    return f"{'flashing ' if shine.flash else ''}{shine.lamp}{colour}{level}"
