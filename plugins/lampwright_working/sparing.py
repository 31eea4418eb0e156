"""What of a signal is to spare: which aspects count for that, and what would do without them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.routes import route_class
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.sequence import fits, rules
from lampwright.words import listed
from lampwright.working.proposals import proposals
from lampwright.working.units import of_form

if TYPE_CHECKING:
    from collections.abc import Iterable

    from lampwright.layout import BoundSignal, Layout
    from lampwright.rulebooks import Rulebook
    from lampwright.working.network import Network
    from lampwright.working.posts import Unit


def untold(signal: BoundSignal, book: Rulebook, unit: Unit) -> set[str]:
    """Return the aspects that are only for classes of route of which the plan has none, as for shunting.

    Of these movements the plan tells nothing, so that it is not known that such an aspect is never shown.
    """
    key = ("asked of classes", book.id, unit.role)
    if key not in signal.layout.cache:
        signal.layout.cache[key] = _asked(signal.layout, book, unit.role)
    asked: dict[str, bool] = signal.layout.cache[key]
    return {aspect for aspect in unit.able if asked.get(aspect) is False}


def _asked(layout: Layout, book: Rulebook, role: str) -> dict[str, bool]:
    """Tell of each aspect that rules of a role ask for whether one does so for a class of route that the plan has."""
    there = {route_class(route) for signal in layout.plan.signals.values() for route in signal.routes}
    asked: dict[str, bool] = {}
    for _, rule in rules(book, role):
        wanted = rule.when.get("route", {}).get("class")
        told = wanted is None or any(
            fits(book, {"route": {"class": wanted}}, {"route": {"class": one}}) for one in there
        )
        for aspect in (*rule.show, *rule.may):
            asked[aspect] = asked.get(aspect, False) or told
    return asked


def without(signal: BoundSignal, kept: set[str], dark: Iterable[str], network: Network) -> str:
    """Say what would do: a smaller form that can give all that is kept, else places left empty; and what to add."""
    return "; ".join(filter(None, (_smaller(signal, kept) or _empty(dark), _more_ahead(signal, network))))


def _smaller(signal: BoundSignal, kept: set[str]) -> str:
    """Name the smallest form that has fewer lights and can give what is kept; empty if there is none."""
    book = signal.rulebook
    own = _lights(signal, signal.form_name)
    for found in proposals(signal):
        able = {aspect for unit in of_form(signal, book, found.form).units for aspect in unit.able} if book else set()
        if found.lights < own and kept <= able:
            return (
                f"{found.form} is the smallest form that can say all {signal.name} is asked: {', '.join(found.aspects)}"
            )
    return ""


def _empty(dark: Iterable[str]) -> str:
    """Say how places without lamps are written down."""
    lamps = list(dark)
    return (
        f"`blanked: [{', '.join(lamps)}]` leaves {'these places' if len(lamps) > 1 else 'this place'} empty"
        if lamps
        else ""
    )


def _more_ahead(signal: BoundSignal, network: Network) -> str:
    """Say where more may be seen ahead than the plan says."""
    ahead = (key for stand in network.of_signal.get(signal.name, ()) for via in stand.vias for key in via.ahead)
    limits = (network.limits.get(key) for key in dict.fromkeys(ahead))
    assumed = [limit.key for limit in limits if limit is not None and limit.open and limit.shows]
    return f"or name under `assume` what else may be seen at {listed(assumed)}" if assumed else ""


def _lights(signal: BoundSignal, form: str) -> int:
    """Return how many lights a form has: colours of lamps."""
    assert signal.rulebook is not None  # noqa: S101  (its form is known)
    reads = reader(signal.rulebook, form, signal.years)
    inner = reads.parts.values() or (reads,)
    return sum(len(lamp.colours) for one in inner for lamp in one.anatomy.lamps.values())
