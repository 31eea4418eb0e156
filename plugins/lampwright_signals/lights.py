"""Route indicators as a signal carries and lights them: names of the plan, made sense of by the rulebook."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct

from lampwright.plans.load import LAMP_WORDS
from lampwright.routes import STRAIGHT, asks_of_line, facts, line_known, route_class
from lampwright.rulebooks.anatomy import UNLIT_STATES
from lampwright.rulebooks.sequence import fits, rules

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from lampwright.findings import Citation, Path, Spot
    from lampwright.layout import BoundSignal
    from lampwright.plans import Carried, Route, Shown
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Indicator

ROUTE_KINDS = frozenset({"positions", "characters"})
"""Kinds of indicator that tell one route from another; a figure tells a speed."""
STATES = frozenset({"lit", "flash"})


class Light(Struct, frozen=True):
    """An indicator, one position of it, or what it shows; ``path`` is where the plan names it."""

    path: Path
    indicator: str
    position: str = ""
    content: str = ""

    @property
    def shown(self) -> tuple[str, str, str]:
        """What a driver sees."""
        return self.indicator, self.position, self.content

    @property
    def whole(self) -> bool:
        """Whether only the indicator is named, and not what it shows."""
        return not self.position and not self.content

    def __str__(self) -> str:
        """Return the light as a message names it."""
        return self.position or " ".join(word for word in (self.indicator, self.content) if word)


def light(signal: BoundSignal, path: Path, name: str, content: str = "") -> Light | None:
    """Return what a name means on this signal; None if its form may carry nothing of that name."""
    found = signal.indicator(name)
    if found is None:
        return None
    indicator, position = found
    if content and not position and record(signal, indicator).positions:
        known = content in record(signal, indicator).positions
        return Light(path, indicator, content) if known else None
    return Light(path, indicator, position, "" if content in STATES else content)


def record(signal: BoundSignal, indicator: str) -> Indicator:
    """Return the rulebook's record of an indicator the signal may carry."""
    assert signal.rulebook is not None  # noqa: S101  (an indicator was found in it)
    return signal.rulebook.indicators[indicator]


def names_carried(item: Carried) -> list[tuple[Path, str, str]]:
    """Return what one entry of ``carries`` names: an indicator, or each character or position it is wired for."""
    if item.detail and not item.detail.keys() & LAMP_WORDS:
        return [((*item.path, key), item.name, str(key)) for key in item.detail]
    return [(item.path, item.name, "")]


def carried(signal: BoundSignal) -> list[Light]:
    """Return the indicators that hang on the signal, as far as its form may carry them."""
    named = [entry for item in signal.entry.carries or () for entry in names_carried(item)]
    return _known(signal, named)


def lit(signal: BoundSignal, route: Route) -> list[Light]:
    """Return what a route lights, as far as the form may carry it; worked out once."""
    if not route.indications:
        return []
    key = ("lit", route.path)
    if key not in signal.cache:
        signal.cache[key] = _known(signal, [(item.path, item.name, item.content) for item in route.indications])
    found: list[Light] = signal.cache[key]
    return found


def displayed(signal: BoundSignal, shown: Shown) -> list[Light]:
    """Return the indicators that the modeller's own display of an aspect lights."""
    elements = [(name, state) for name, state in shown.elements if state not in UNLIT_STATES]
    return _known(signal, [(_place(signal, shown, name), _bare(signal, name), state) for name, state in elements])


def called(route: Route) -> str:
    """Return what a message calls a route: ``the straight shunt route to bay``."""
    words = ("straight" if route.turns == STRAIGHT else "", route.kind, "route")
    return f"the {' '.join(word for word in words if word)} to {route.to}"


def tells_route(indicator: Indicator) -> bool:
    """Tell whether an indicator speaks of the signal's own route: one that announces the next says no aspect."""
    return indicator.kind in ROUTE_KINDS and bool(indicator.needed or indicator.stands_with)


def route_lights(signal: BoundSignal, route: Route) -> list[Light]:
    """Return what a route lights to be told from the signal's other routes."""
    return [item for item in lit(signal, route) if tells_route(record(signal, item.indicator))]


def lights_nothing(signal: BoundSignal, route: Route) -> bool:
    """Tell whether a route lights nothing to be told by; a name that leads nowhere may be meant for it."""
    return len(lit(signal, route)) == len(route.indications) and not route_lights(signal, route)


def in_use(signal: BoundSignal) -> list[str]:
    """Return the indicators the form may carry that were in use in the signal's years; worked out once."""
    if "in use" not in signal.cache:
        years = signal.years
        used = (name for name in signal.indicators if years is None or record(signal, name).years.meets(years))
        signal.cache["in use"] = list(used)
    found: list[str] = signal.cache["in use"]
    return found


def lacking(signal: BoundSignal, route: Route) -> str:
    """Return an indicator that a route needs and does not light, nor any other by which it would be told as well.

    Empty if none asks, if not enough is known, or if the route lights a name that leads nowhere.
    """
    lights, asking = lit(signal, route), _asking(signal, facts(signal, route))
    if len(lights) < len(route.indications) or not asking:
        return ""
    burning = {_purpose(signal, item.indicator) for item in lights}
    others = (name for name in in_use(signal) if name in asking and _purpose(signal, name) not in burning)
    return next((name for name in others if _surely_asking(signal, name, route)), "")


def asked_by(signal: BoundSignal, indicator: str, route: Route) -> Path:
    """Return where an indicator says that it is needed for a route: of several conditions, the one that asks."""
    stated: Any = record(signal, indicator).needed
    asking = _surely_asking(signal, indicator, route)
    return ("needed", stated.index(asking[0])) if isinstance(stated, list) and asking else ("needed",)


def superfluous(signal: BoundSignal, route: Route, indicator: str) -> bool:
    """Tell whether the rulebook, which says when a route of this class needs an indicator, asks for none here."""
    known = facts(signal, route)
    enough = _may_ask(signal, indicator, {"class": known["class"]}) and "turns" in known
    return enough and indicator not in _asking(signal, known)


def told_apart(signal: BoundSignal, route: Route) -> str:
    """Return the indicator by which routes of this class are told apart, whichever way they turn; empty if none is."""
    known = {"class": route_class(route)}
    return next((name for name in _route_indicators(signal) if _may_ask(signal, name, known)), "")


def aspects_for(signal: BoundSignal, route: Route) -> list[str]:
    """Return every aspect that the sequence may ask for with a route of this class, whatever lies ahead."""
    book, form = signal.rulebook, signal.form
    if book is None or form is None:
        return []
    key = ("aspects for", signal.form_name, route_class(route))
    if key not in book.cache:
        forms = [form, *(book.forms[part.form] for part in form.parts.values())]
        roles = dict.fromkeys(role for one in forms for role in one.roles)
        known = {"class": route_class(route)}
        book.cache[key] = list(dict.fromkeys(aspect for role in roles for aspect in _asked_for(book, role, known)))
    found: list[str] = book.cache[key]
    return found


def may_stand(signal: BoundSignal, indicator: str, aspects: Iterable[str]) -> list[str]:
    """Return those of some aspects that an indicator may be lit with."""
    wanted = record(signal, indicator).stands_with
    book = signal.rulebook
    if book is None:
        return []
    known = [aspect for aspect in aspects if aspect in book.aspects]
    return [aspect for aspect in known if fits(book, {"here": wanted}, {"here": aspect})]


def aspect_of(signal: BoundSignal, name: str) -> str:
    """Return an aspect without the part that shows it: ``clear`` for ``main.clear``."""
    return _bare(signal, name)


def why(signal: BoundSignal, indicator: str, *steps: str | int) -> tuple[Citation, ...]:
    """Return the source of a datum of an indicator."""
    return (signal.rulebook.why("indicators", indicator, *steps),) if signal.rulebook is not None else ()


def book_spot(signal: BoundSignal, indicator: str, *steps: str | int, label: str) -> tuple[Spot, ...]:
    """Return where the rulebook says a datum of an indicator."""
    if signal.rulebook is None:
        return ()
    return (signal.rulebook.spot("indicators", indicator, *steps, label=label),)


def _place(signal: BoundSignal, shown: Shown, name: str) -> Path:
    """Return where a display names an element: in a map, in a list, or alone."""
    said: Any = signal.layout.plan.values
    for step in shown.path:
        said = said[step]
    if isinstance(said, dict):
        return (*shown.path, name)
    return (*shown.path, said.index(name)) if isinstance(said, list) else shown.path


def _known(signal: BoundSignal, named: Iterable[tuple[Path, str, str]]) -> list[Light]:
    """Return the lights of names that mean something here."""
    found = [light(signal, path, name, content) for path, name, content in named]
    return [item for item in found if item is not None]


def _bare(signal: BoundSignal, name: str) -> str:
    """Return a name without the part of the form before it."""
    part, _, rest = name.partition(".")
    return rest if rest and signal.form is not None and part in signal.form.parts else name


def _route_indicators(signal: BoundSignal) -> Iterator[str]:
    """Yield the indicators in use that tell routes apart and of which the rulebook says when they are needed."""
    for name in in_use(signal):
        if tells_route(record(signal, name)) and record(signal, name).needed:
            yield name


def _purpose(signal: BoundSignal, indicator: str) -> str:
    """Return what an indicator tells: all that tell the route are one, any other is its own."""
    return "" if tells_route(record(signal, indicator)) else indicator


def _conditions(indicator: Indicator) -> list[Mapping[str, Any]]:
    """Return the conditions under which an indicator is needed: any of them is enough."""
    stated: Any = indicator.needed
    return stated if isinstance(stated, list) else [stated] if stated else []


def _asking(signal: BoundSignal, known: Mapping[str, Any]) -> Mapping[str, list[Mapping[str, Any]]]:
    """Return the indicators needed for a route of which these facts are known, with the conditions that hold.

    Routes are much alike, so it is worked out once for those of which the same is known.
    """
    book = signal.rulebook
    if book is None:
        return {}
    key = ("asking", *known.items())
    if key not in book.cache:
        asked = {name: _holding(book, indicator, known) for name, indicator in book.indicators.items()}
        book.cache[key] = {name: conditions for name, conditions in asked.items() if conditions}
    asking: Mapping[str, list[Mapping[str, Any]]] = book.cache[key]
    return asking


def _holding(book: Rulebook, indicator: Indicator, known: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return the conditions of an indicator that hold for a route of which these facts are known."""
    return [condition for condition in _conditions(indicator) if fits(book, condition, {"route": known})]


def _surely_asking(signal: BoundSignal, indicator: str, route: Route) -> list[Mapping[str, Any]]:
    """Return the conditions that make an indicator needed by what is known; a line's speed that is not, asks none."""
    asking = _asking(signal, facts(signal, route)).get(indicator, [])
    return [condition for condition in asking if not asks_of_line(condition) or line_known(signal, route)]


def _may_ask(signal: BoundSignal, indicator: str, known: Mapping[str, Any]) -> bool:
    """Tell whether an indicator may be needed, whatever is not known yet."""
    book = signal.rulebook
    for condition in _conditions(record(signal, indicator)):
        asked = condition.get("route", {})
        certain = {name: value for name, value in asked.items() if name in known}
        if book is not None and fits(book, {"route": certain}, {"route": known}):
            return True
    return False


def _asked_for(book: Rulebook, role: str, known: Mapping[str, Any]) -> Iterator[str]:
    """Yield the aspects of every rule that may fit, up to the first that must."""
    for _, rule in rules(book, role):
        asked = rule.when.get("route", {})
        certain = {name: value for name, value in asked.items() if name in known}
        if not fits(book, {"route": certain}, {"route": known}):
            continue
        yield from (*rule.show, *rule.may)
        if rule.when and rule.when.keys() == {"route"} and certain == asked:
            return
