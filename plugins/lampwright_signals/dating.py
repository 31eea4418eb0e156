"""Whether what a plan uses was in use, or newly put up, in its years: forms, aspects and indicators alike."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from lampwright.findings import Level
from lampwright.rulebooks.sources import cited
from lampwright.words import counted, listed
from lampwright.years import END, Years

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator

    from lampwright.checks import Check
    from lampwright.findings import Citation, Finding, Path, Spot
    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.model import Dated

    Fits = Callable[[Years, Years], bool]
    """How years in use are compared with a plan's."""

SHOWN = 3
"""How many uses of one thing a finding points to; the rest is counted."""


class Use(Struct, frozen=True):
    """A dated thing of a rulebook, and where a signal of the plan uses it.

    ``path`` is the thing's in the rulebook, as in ``("forms", "four-aspect")``.
    """

    signal: BoundSignal
    rulebook: Rulebook
    path: Path
    thing: Dated
    spot: Spot

    @property
    def name(self) -> str:
        """What messages call the thing: ``the form four-aspect``."""
        return f"the {str(self.path[-2]).removesuffix('s')} {self.path[-1]}"


def not_in_use(check: Check, uses: Iterable[Use], *, whole: bool = False) -> Iterator[Finding]:
    """Yield a finding for each thing that was not in use in the years it is used in.

    Its place is the year; ``whole`` asks that the thing was in use in all of a span. If sources disagree, it is a note.
    """
    fits = Years.covers if whole else Years.meets
    doubtful = [use for use in uses if (years := use.signal.years) and _in_doubt(use, years, fits)]
    for group in _grouped(doubtful):
        use, years = group[0], group[0].signal.years
        if years is None:
            continue
        if other := _other(use, "years", years, fits):
            source, span = other
            first = use.rulebook.why(*use.path, "years")
            both = f"{_in_words(use.thing.years)} ({first.text}) or {_in_words(span)} ({source.text})"
            message = f"sources differ on whether {use.name} was in use in {years}: {both}"
            yield _dated(check, group, message, "years", also=(source,), level=Level.NOTE)
        else:
            yield _dated(check, group, _never_then(use, years), "years", tip=_instead(use, years))


def undated_survivors(check: Check, uses: Iterable[Use]) -> Iterator[Finding]:
    """Yield a finding for each thing of which no new ones were put up any more, where signals do not say how old."""
    undated = [use for use in uses if _survives(use) and not use.signal.entry.installed]
    for group in _grouped(undated):
        use, fitted = group[0], group[0].thing.fitted
        names = list(dict.fromkeys(one.signal.name for one in group))
        unsaid = "does not say how old it is" if len(names) == 1 else "do not say how old they are"
        message = f"no new one of {use.name} was put up after {fitted.last}, and {listed(names)} {unsaid}"
        other = _other(use, "fitted", use.signal.years or fitted, Years.meets)
        tip = f"give the year it was put up, as in `installed: {fitted.last}`"
        yield _dated(check, group, message, "fitted", also=other[:1] if other else (), tip=tip)


def put_up_out_of_time(check: Check, use: Use) -> Iterator[Finding]:
    """Yield a finding if a signal is said to be put up when no new ones of a thing it has were."""
    signal = use.signal
    installed = parsed(signal.entry.installed)
    allowed = use.thing.fitted.shared(use.thing.years) or use.thing.fitted
    if installed is None or allowed.meets(installed):
        return
    key = "fitted" if not use.thing.fitted.meets(installed) else "years"
    other = _other(use, key, installed, Years.meets)
    when = f"from {allowed.first} on" if installed.last < allowed.first else f"until {allowed.last} only"
    yield check.finding(
        f"{signal.name} was put up in {installed}, and new ones of {use.name} were put up {when}",
        signal.spot("installed"),
        related=(use.spot, _rulebook_spot(use, key)),
        citations=(use.rulebook.why(*use.path, key), *((other[0],) if other else ())),
        because=f"sources differ: {other[0].text} says {other[1]}" if other else "",
        tip=f"it would have to be put up {when_in_words(allowed)}, or be another form",
        level=Level.NOTE if other else None,
    )


def parsed(text: str) -> Years | None:
    """Return a year or span; None if there is none or it is not one."""
    try:
        return Years.parse(text) if text else None
    except ValueError:
        return None


def when_in_words(span: Years) -> str:
    """Return when a thing fits: ``in 1926 or later``, ``in 1966 or earlier``, ``between 1930 and 1960``."""
    if span.first == span.last:
        return f"in {span.first}"
    if span.last == END:
        return f"in {span.first} or later"
    return f"between {span.first} and {span.last}" if span.first else f"in {span.last} or earlier"


def year_spot(signal: BoundSignal, label: str = "") -> Spot | None:
    """Return where the plan says the year a signal stands in; None if it was set for the run."""
    layout = signal.layout
    if layout.settings.year:
        return None
    return signal.spot("year", label=label) if signal.entry.year else layout.spot("year", label=label)


def _grouped(uses: Iterable[Use]) -> list[list[Use]]:
    """Return the uses of one thing under one year together, in the order of the plan."""
    groups: dict[object, list[Use]] = {}
    for use in uses:
        groups.setdefault((use.rulebook.id, use.path, year_spot(use.signal)), []).append(use)
    return list(groups.values())


def _dated(  # noqa: PLR0913  (each part of a finding)
    check: Check,
    group: list[Use],
    message: str,
    key: str,
    *,
    also: tuple[Citation, ...] = (),
    tip: str = "",
    level: Level | None = None,
) -> Finding:
    """Return a finding at the year, or at the first use if the year was set for the run."""
    use = group[0]
    spots = list(dict.fromkeys(one.spot for one in group))
    primary = year_spot(use.signal) or spots.pop(0)
    more = len(spots) - SHOWN
    because = f"{counted(more, 'more signal')} use it too" if more > 0 else ""
    return check.finding(
        message,
        primary,
        related=(*spots[:SHOWN], _rulebook_spot(use, key)),
        citations=(use.rulebook.why(*use.path, key), *also),
        because=because.replace("1 more signal use", "1 more signal uses"),
        tip=tip,
        level=level,
    )


def _rulebook_spot(use: Use, key: str) -> Spot:
    """Return where the rulebook says the years."""
    return use.rulebook.spot(*use.path, key, label="the rulebook's years")


def _in_doubt(use: Use, years: Years, fits: Fits) -> bool:
    """Tell whether a thing does not fit the years, or a source says otherwise."""
    return not fits(use.thing.years, years) or (
        "years" in use.thing.evidence.disputed and bool(_other(use, "years", years, fits))
    )


def _survives(use: Use) -> bool:
    """Tell whether a thing was in use, but no longer put up, in its signal's years."""
    years = use.signal.years
    return years is not None and years.first > use.thing.fitted.last and use.thing.years.meets(years)


def _other(use: Use, key: str, years: Years, fits: Fits) -> tuple[Citation, Years] | None:
    """Return a source by which years fit, or do not, where by the rulebook it is the other way; with its years."""
    here = fits(getattr(use.thing, key), years)
    for name, text in (use.thing.evidence.disputed.get(key) or {}).items():
        span = parsed(str(text))
        if span is not None and fits(span, years) != here:
            return cited(use.rulebook, name), span
    return None


def _in_words(span: Years) -> str:
    """Return a span in words: ``from 1975``, ``until 1991``, ``from 1930 to 1960``."""
    if span.last == END:
        return f"from {span.first}"
    return f"from {span.first} to {span.last}" if span.first else f"until {span.last}"


def _never_then(use: Use, years: Years) -> str:
    """Say that a thing was not in use, and when it came or went."""
    span = use.thing.years
    when = f"it came in {span.first}" if years.first < span.first else f"the last went in {span.last}"
    throughout = "in all of " if span.meets(years) else "in "
    return f"{use.name} was not in use {throughout}{years}: {when}"


def _instead(use: Use, years: Years) -> str:
    """Return what would have been right: other years, or another thing of the kind."""
    section = str(use.path[0])
    others = getattr(use.rulebook, section) if section in ("forms", "indicators") else {}
    alike = [name for name, other in others.items() if _alike(use.thing, other) and other.years.meets(years)]
    return f"set the plan {when_in_words(use.thing.years)}" + (f", or use {listed(alike, 'or')}" if alike else "")


def _alike(thing: Dated, other: Dated) -> bool:
    """Tell whether two forms do the same duty, or two indicators tell in the same way."""
    key = "roles" if hasattr(thing, "roles") else "kind"
    return bool(getattr(thing, key)) and getattr(thing, key) == getattr(other, key)
