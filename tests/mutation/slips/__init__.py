"""Slips of the pen in plans, each made in every place: by the groups of a review of validators for signalling plans."""

from __future__ import annotations

from mutation.plans import SLIPS
from mutation.slips import (
    aspects,
    conflicts,
    currents,
    guards,
    identity,
    indicators,
    lamps,
    names,
    routes,
    track,
    ways,
    wiring,
)

_ORDER = (conflicts, ways, names, routes, track, guards, aspects, lamps, indicators, wiring, currents, identity)
OPERATORS = sorted(SLIPS, key=lambda operator: [module.__name__ for module in _ORDER].index(operator.make.__module__))
"""All kinds of slips in plans, in the order of the table."""
