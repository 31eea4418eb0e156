"""Why signals show what they show, and why moves are refused, in words; scripts fill in the same sentences."""

from __future__ import annotations

from typing import Final

WORDS: Final = {
    "shows": "{0} shows {1}",
    "stands": "{0} stands at {1}",
    "no-route": "no route is set from {0}",
    "not-past": "no route is set past {0}",
    "no-rule": "no rule is known for {0}",
    "passed": "a train has run past {0} on {1}, which has not been set again",
    "train": "a train stands in {0}",
    "overlap": "a train stands in its overlap, in {0}",
    "unknown": "nothing is known of what {0} shows",
    "restless": "what it shows and what it sees ahead change each other for ever",
    "lack": "{0} cannot show {1}",
    "assumed": "{0} is taken to show {1}",
    "buffers": "the line ends at {0}",
    "end": "signalling ends at {0}",
    "near": "a train has reached {1}, and {0}",
    "far": "no train has reached {1}, and {0}",
    "out": "its lamp {1} is out, and {0}",
    "because": "{0}, because {1}",
    "as": "{0}, as {1}",
    "reads": "{0}; with {1} out a driver reads {2}",
    "no-set": "{0} cannot be set",
    "set-already": "it is set already",
    "against": "{0} is set, and {1}",
    "taken": "a train stands in {0}",
    "taken-overlap": "a train stands in {0} in its overlap",
    "held": "{0} must lie {1}, and cannot be moved while {2} is occupied",
    "no-cancel": "{0} cannot be taken back",
    "not-set": "it is not set",
    "locked": "a train in {0} keeps it locked",
    "locked-for": "a train in {0} keeps it locked for {1}",
}
"""Sentences by what they are for; ``{0}`` and so on are filled in."""


def say(what: str, *words: str) -> str:
    """Return a sentence with its words filled in."""
    return WORDS[what].format(*words)
