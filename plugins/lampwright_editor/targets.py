"""Where a name leads: to what it is the name of."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from lampwright.findings import Spot
from lampwright.mentions import (
    BOARD,
    CONTROLLER,
    GOAL,
    LINE,
    ORIGIN,
    POINTS,
    ROUTE,
    SECTION,
    SIGNAL,
    SUPPLY,
    TRACK,
    Mention,
    mentioned,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.layout import Layout

HOMES: Final = {
    SIGNAL: ("signals",),
    GOAL: ("signals", "ends"),
    ORIGIN: ("ends",),
    SECTION: ("sections", "track"),
    POINTS: ("points", "track"),
    TRACK: ("track", "ends"),
    LINE: ("lines",),
    BOARD: ("boards",),
    CONTROLLER: ("controllers",),
    SUPPLY: ("supplies",),
    ROUTE: ("signals",),
}
"""Under which keys of a plan things of a kind have their names."""


def target(layout: Layout, values: Any, path: Path, *, on_key: bool) -> Spot | None:
    """Return where that is said which stands at a path of a plan: in the plan, another, or the rulebook."""
    if (
        on_key
        and len(path) == len(("signals", "HF1"))
        and path[0] in {home for homes in HOMES.values() for home in homes}
    ):
        return Spot(layout.plan.file, path, on_key=True)
    for mention in mentioned(values):
        if mention.path == path and mention.on_key is on_key:
            return next(_named(layout, mention), None)
    return next(_of_rulebook(layout, values, path, on_key=on_key), None)


def _named(layout: Layout, mention: Mention) -> Iterator[Spot]:
    """Yield where a name may have its home."""
    file, slash, name = mention.name.partition("/")
    plan = layout.others.get(file) if slash else layout.plan
    name = (name if slash else file).partition(" to ")[0]
    for home in HOMES[mention.kind] if plan is not None else ():
        if name in (plan.values.get(home) or ()):  # type: ignore[union-attr]
            yield Spot(plan.file, (home, name), on_key=True)  # type: ignore[union-attr]


def _of_rulebook(layout: Layout, values: Any, path: Path, *, on_key: bool) -> Iterator[Spot]:
    """Yield where the rulebook says a form, an aspect or an indicator."""
    signal = layout.signals.get(str(path[1])) if path[0] == "signals" and len(path) > 1 else None
    book = signal.rulebook if signal is not None else layout.rulebook
    word: Any = values
    for step in path:
        word = word[step]
    word = path[-1] if on_key else word
    for kind, there in (
        ("forms", book and book.forms),
        ("aspects", book and book.aspects),
        ("indicators", book and book.indicators),
    ):
        if book is not None and isinstance(word, str) and word in (there or ()):
            yield book.spot(kind, word, on_key=True)
