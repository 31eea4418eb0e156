"""The inks: colours of lamps by day and in the dark, letters and shapes beside them, and the style of every picture.

A lamp is told three times: by its colour, by its letter, and by the shape that its letter stands in.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from lampwright.tables.beats import beat_class

if TYPE_CHECKING:
    from collections.abc import Collection

    from lampwright.tables import Beat

FILLS: Final = {
    "red": "#c8102e",
    "yellow": "#ffc20e",
    "amber": "#ffb000",
    "orange": "#ff9a1f",
    "green": "#1aa35a",
    "blue": "#1f6fd1",
    "violet": "#7a3fb5",
    "white": "#ffffff",
    "lunar": "#d9e8ff",
}
"""What a lit lens is filled with; far apart in lightness too, so that grey paper tells most of them."""
OTHER: Final = "#b8b8b8"
ON_DARK: Final = frozenset({"red", "blue", "violet"})
"""Colours on which a letter is white."""
SHAPES: Final = {
    "red": "square",
    "green": "ring",
    "yellow": "triangle",
    "amber": "triangle",
    "orange": "triangle",
    "white": "plain",
}
OTHER_SHAPE: Final = "diamond"
LEGEND: Final = "Lit: square red, triangle yellow, ring green, plain white, diamond any other; dashed ring flashing."
FONT: Final = "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif"

COLOURS: Final = range(8)
"""Numbers of the colours that one lens can show."""
OF_SEVERAL: Final = ",".join(f".for-c{number}" for number in COLOURS)
LIT_OF_SEVERAL: Final = ",".join(f".lit .for-c{number}" for number in COLOURS)
SHOWN_OF_SEVERAL: Final = ",".join(f".lit.c{number} .for-c{number}" for number in COLOURS)

COMMON: Final = f"""
.lampwright text{{font-family:{FONT};font-size:11px;fill:#1b1b1b}}
.paper{{fill:#fdfdfb}}
.lampwright .strong{{font-weight:600;font-size:13px}}
.lampwright .head{{font-weight:600;font-size:16px}}
.lampwright .small{{font-size:9.5px}}
.lampwright .quiet{{fill:#5d5d5d}}
.post,.board,.plate,.box,.base{{fill:#fdfdfb;stroke:#1b1b1b;stroke-width:1.5;stroke-linejoin:round}}
.board{{fill:#e9e9e5}}
.box{{fill:#1b1b1b}}
.plate{{stroke-width:.75}}
.line,.ground{{fill:none;stroke:#1b1b1b;stroke-width:1.5}}
.detail,.hood,.leader,.arm{{fill:none;stroke:#1b1b1b;stroke-width:.75}}
.diamond{{fill:#fdfdfb;stroke:#1b1b1b;stroke-width:1.5}}
.track{{fill:none;stroke:#1b1b1b;stroke-width:2.25;stroke-linecap:round}}
.train{{display:none}}
.occupied .train{{display:inline}}
.occupied .track{{stroke-width:8;stroke-linecap:butt}}
.lampwright .signal-name,.lampwright .points-name{{font-weight:600;font-size:10px}}
.signal-name,.points-name,.end-name{{paint-order:stroke;stroke:#fdfdfb;stroke-width:3px;stroke-linejoin:round}}
.lampwright .points-name{{font-weight:400;font-size:9.5px}}
.lampwright .tiny .lamp text{{display:none}}
.route{{display:none}}
.route.set{{display:inline}}
.band{{fill:none;stroke:#d9d9d2;stroke-width:15;stroke-linejoin:round}}
.hatch{{fill:none;stroke:#1b1b1b;stroke-width:15;stroke-dasharray:1 5}}
.rule{{stroke:#c9c9c4;stroke-width:.75}}
.ink{{fill:#1b1b1b}}
.lens{{fill:#dcdcd6;stroke:#1b1b1b;stroke-width:.75}}
.doubtful .lens{{stroke-dasharray:1 1.5}}
.light,.shape,.flashing{{display:none}}
.lampwright .lamp text{{font-weight:600;fill:#7c7c76;text-anchor:middle}}
.lit .light,.lit .shape{{display:inline}}
.lit .while-dark,{OF_SEVERAL},{LIT_OF_SEVERAL}{{display:none}}
{SHOWN_OF_SEVERAL}{{display:inline}}
.flash .flashing{{display:inline;fill:none;stroke:#1b1b1b;stroke-width:1.2;stroke-dasharray:3 2.2}}
.shape{{fill:none;stroke-width:.75;stroke:#1b1b1b}}
.light{{fill:{OTHER};stroke:#1b1b1b;stroke-width:1.75}}
.lampwright .lit text{{fill:#1b1b1b}}
.lampwright .box-content{{font-weight:600;text-anchor:middle;fill:#fff}}
.lampwright .dark-box{{fill:#8b8b85}}
"""
DARK: Final = """
.lampwright text{fill:#e9e6df}
.paper{fill:#16181b}
.lampwright .quiet{fill:#a9a59c}
.post,.plate,.base{fill:#16181b;stroke:#e9e6df}
.lens{fill:#1d2023;stroke:#e9e6df}
.board{fill:#2a2d31;stroke:#e9e6df}
.diamond{fill:#16181b;stroke:#e9e6df}
.box{fill:#000;stroke:#e9e6df}
.line,.ground,.detail,.hood,.leader,.arm,.track,.hatch{stroke:#e9e6df}
.band{stroke:#3c4046}
.lampwright .signal-name,.lampwright .points-name,.lampwright .end-name{stroke:#16181b}
.rule{stroke:#3c4046}
.ink{fill:#e9e6df}
.flash .flashing{stroke:#e9e6df}
.lampwright .lamp text{fill:#85827b}
.lampwright .box-content{fill:#fff}
"""


def shape(colour: str) -> str:
    """Return the shape that stands for a colour."""
    return SHAPES.get(colour, OTHER_SHAPE)


def stylesheet(beats: Collection[Beat] = ()) -> str:
    """Return the style of pictures in which lamps flash in some beats: light, dark, and without motion if so wished."""
    lamps = _lamps()
    return f"{COMMON}{lamps}@media (prefers-color-scheme:dark){{{DARK}{lamps}}}\n{motion(beats)}"


def motion(beats: Collection[Beat]) -> str:
    """Return how lamps flash in some beats; nothing moves where that is not wished."""
    moving = "".join(_motion(beat) for beat in sorted(beats))
    return f"@media (prefers-reduced-motion:no-preference){{{moving}}}\n" if moving else ""


def _lamps() -> str:
    """Return the fill of a lit lamp of each colour, and the ink on it."""
    fills = (f".{colour} .light{{fill:{fill}}}" for colour, fill in FILLS.items())
    dark, light = (
        ",".join(f".lampwright .lit.{colour} {what}" for colour in FILLS if (colour in ON_DARK) == on_dark)
        for on_dark, what in ((True, "text"), (False, "text"))
    )
    strokes = ",".join(f".lit.{colour} .shape" for colour in FILLS if colour in ON_DARK)
    return f"{''.join(fills)}\n{dark}{{fill:#fff}}\n{light}{{fill:#1b1b1b}}\n{strokes}{{stroke:#fff}}\n"


def _motion(beat: Beat) -> str:
    """Return how a lamp flashes in a beat: lit for its share of each turn, from its phase on."""
    name, turn = beat_class(beat), 60 / float(beat.per_minute)
    off = float(beat.floor)
    delay = turn * beat.phase / 360 - turn if beat.phase else 0
    return (
        f"@keyframes {name}{{0%{{opacity:1}}{float(beat.lit) * 100:.1f}%{{opacity:{off:g}}}}}"
        f".{name} .light,.{name} .shape{{animation:{name} {turn:.3f}s step-end {delay:.3f}s infinite}}"
    )
