"""Every display of a form that means something, gathered from all the places a rulebook says it in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec import Struct
from msgspec.structs import replace

from lampwright.rulebooks import patterns
from lampwright.rulebooks.anatomy import DARK, LIT, Anatomy, Lamps

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Path
    from lampwright.rulebooks.model import Aspect, Coupling, Elements, Regime, Rulebook
    from lampwright.years import Years

BY_ITSELF = frozenset({"here"})
"""Conditions that the display of the form alone decides."""


class Meaning(Struct, frozen=True):
    """One display with the aspect it is: lamps to the last, boxes, plates and marks only where named."""

    aspect: str
    lamps: frozenset[tuple[str, str]]
    tests: Elements
    path: Path
    commanded: bool = True


def meanings(rulebook: Rulebook, anatomy: Anatomy, years: Years | None, regime: Regime | None) -> list[Meaning]:
    """Return the displays of a form that mean something in the given years, under a regime or none."""
    found = [meaning for plain in _plain(rulebook, anatomy, years) for meaning in _coupled(anatomy, plain)]
    found += list(_also_read(rulebook, anatomy, years))
    if anatomy.form.gives:
        found = [meaning for meaning in found if meaning.aspect in anatomy.form.gives]
    return [_under(regime, anatomy, meaning) for meaning in found] if regime else found


def _plain(rulebook: Rulebook, anatomy: Anatomy, years: Years | None) -> Iterator[Meaning]:
    """Yield what the form's own displays say, then what an aspect says of every form with its elements."""
    for name, aspect in rulebook.aspects.items():
        if years is not None and not aspect.years.covers(years):
            continue
        for elements, path in _said(rulebook, anatomy, name, aspect):
            split = anatomy.lit(elements)
            if split is not None:
                yield Meaning(name, frozenset(split[0].items()), split[1], path)


def _said(rulebook: Rulebook, anatomy: Anatomy, name: str, aspect: Aspect) -> Iterator[tuple[Elements, Path]]:
    """Yield the displays named for one aspect on this form, each with the place that names it."""
    form = anatomy.form
    own = form.shows.get(name)
    if own is not None:
        yield own, ("forms", anatomy.name, "shows", name)
        return
    if aspect.shows is not None:
        yield aspect.shows, ("aspects", name, "shows")
    for mount in dict.fromkeys((form.mount, "")):
        for text in aspect.patterns.get(mount, ()) if form.heads else ():
            elements = patterns.elements(rulebook, anatomy, text)
            if elements is not None:
                yield elements, ("aspects", name, "patterns")


def _coupled(anatomy: Anatomy, meaning: Meaning) -> list[Meaning]:
    """Return a meaning with what the form's couplings add, one more for each that circumstances decide."""
    lamps = dict(meaning.lamps)
    variants = []
    for coupling in anatomy.form.coupling:
        here = coupling.when.get("here")
        fits = here is None or meaning.aspect in _as_list(here)
        if not coupling.when.keys() - BY_ITSELF:
            _apply(anatomy, lamps, coupling, fits=fits)
        elif fits and "parts" not in coupling.when:
            variants.append(coupling)
    base = replace(meaning, lamps=frozenset(lamps.items()))
    found = [base]
    for coupling in variants:
        other = dict(lamps)
        _apply(anatomy, other, coupling, fits=True)
        changed = replace(base, lamps=frozenset(other.items()))
        if changed not in found:
            found.append(changed)
    return found


def _apply(anatomy: Anatomy, lamps: Lamps, coupling: Coupling, *, fits: bool) -> None:
    """Light and darken lamps as a coupling says."""
    forced = coupling.then if fits else coupling.otherwise
    for name, state in forced.items():
        for lamp, token in (anatomy.element(name, state) or {}).items():
            if token == DARK:
                lamps.pop(lamp, None)
            else:
                lamps[lamp] = token


def _also_read(rulebook: Rulebook, anatomy: Anatomy, years: Years | None) -> Iterator[Meaning]:
    """Yield the displays nobody commands."""
    for position, item in enumerate(anatomy.form.also_read):
        if years is not None and not rulebook.aspects[item.aspect].years.covers(years):
            continue
        split = anatomy.lit(item.shows)
        if split is not None:
            path = ("forms", anatomy.name, "also-read", position)
            yield Meaning(item.aspect, frozenset(split[0].items()), split[1], path, commanded=False)


def _under(regime: Regime, anatomy: Anatomy, meaning: Meaning) -> Meaning:
    """Return a meaning as it looks under a regime."""
    if not regime.every_lamp:
        return meaning
    changed = {lamp: _restated(anatomy, lamp, token, regime.every_lamp) for lamp, token in meaning.lamps}
    return replace(meaning, lamps=frozenset(changed.items()))


def _restated(anatomy: Anatomy, lamp: str, token: str, state: str) -> str:
    """Return a lamp's token with its state replaced and its colour kept."""
    colour = token.rpartition(" ")[2] if len(anatomy.lamps[lamp].colours) > 1 else LIT
    return state if colour == LIT else f"{state} {colour}"


def _as_list(value: Any) -> list[Any]:
    """Return a list; a lone word is a list of one."""
    return value if isinstance(value, list) else [value]
