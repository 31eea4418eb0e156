"""The layout worked: routes set, sections occupied, lamps failed, and what every signal comes to show, with the reason.

``Play(layout)`` answers moves; ``lampwright.working.play.table`` has the same as data, for a script that only looks up.
"""

from lampwright.working.play.looks import Light, Look
from lampwright.working.play.play import Play, Shown
from lampwright.working.play.situation import (
    Assume,
    Cancel,
    Clear,
    Fail,
    Mend,
    Move,
    Occupy,
    Refusal,
    Set,
    Situation,
)

__all__ = [
    "Assume",
    "Cancel",
    "Clear",
    "Fail",
    "Light",
    "Look",
    "Mend",
    "Move",
    "Occupy",
    "Play",
    "Refusal",
    "Set",
    "Shown",
    "Situation",
]
