"""A signal gets another name, wherever plans name it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.edits import Change
from lampwright.mentions import GOAL, ROUTE, SIGNAL, mentions
from lampwright.schema import faults

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lampwright.layout import Layout

JOINT = " to "
"""Between the two ends in the name of a route."""


class CannotRename(Exception):  # noqa: N818  (what cannot be, not what went wrong)
    """A signal cannot get a name; the message says why."""


def renamed(layouts: Sequence[Layout], home: Layout, old: str, new: str) -> dict[str, list[Change]]:
    """Return the changes by file that give a signal of the plan ``home`` another name in all plans.

    Routes named by their ends (``TB1 to TB3``) follow. Raises ``CannotRename`` if there is no such signal, the name is
    taken, or it is none.
    """
    _refuse(home, old, new)
    found: dict[str, list[Change]] = {}
    for layout in layouts:
        start = "" if layout is home else f"{home.plan.stem}/"
        if changes := list(_changes(layout, f"{start}{old}", f"{start}{new}")):
            found[layout.plan.file] = changes
    found.setdefault(home.plan.file, []).append(Change.rename(("signals", old), new))
    return found


def _refuse(home: Layout, old: str, new: str) -> None:
    """Raise if the name cannot be given."""
    plan = home.plan
    if old not in plan.signals:
        from lampwright.words import did_you_mean

        tip = did_you_mean(old, plan.signals, "its signals")
        raise CannotRename(f"{plan.file} has no signal {old}: {tip}")
    if new in plan.signals or new in plan.ends:
        raise CannotRename(f"{plan.file} has a {new} already")
    if faults("plan", {"plan": 1, "signals": {new: {}}}):
        raise CannotRename(
            f"{new} is no name of a signal: it has no spaces, and none of . / , : ; # quotes or brackets"
        )


def _changes(layout: Layout, old: str, new: str) -> Iterator[Change]:
    """Yield the changes of all mentions in one plan."""
    for mention in mentions(layout):
        name = mention.name
        if mention.kind in {SIGNAL, GOAL} and name == old:
            name = new
        elif mention.kind == ROUTE and JOINT in name:
            name = JOINT.join(new if end == old else end for end in name.split(JOINT))
        if name != mention.name:
            yield Change.rename(mention.path, name) if mention.on_key else Change.replace(mention.path, name)
