"""What the checks of displays say of one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.rulebooks.displays import Kind
from lampwright.words import listed
from lampwright_signals.judging import Judged, Verdict
from lampwright_signals.saying import form_spot, kind, seen

if TYPE_CHECKING:
    from lampwright.checks import Check
    from lampwright.findings import Citation, Finding, Spot
    from lampwright.rulebooks.displays import Display

NAMES_FIRST = ("unknown-form", "unknown-aspect", "aspect-beyond-form", "unknown-lamp", "unknown-state")
"""What must be right before a display is worth reading."""


def about(check: Check, one: Judged, message: str, *, also: tuple[Spot, ...] = (), tip: str = "") -> Finding:
    """Return a finding on a display, beside the form and the rulebook's own display of the aspect."""
    related = (*also, *form_spot(one.signal))
    citations: tuple[Citation, ...] = ()
    if one.form is not None:
        rulebook = one.form.rulebook
        path = next((item.path for item in one.form.meanings if item.aspect == one.aspect and item.commanded), None)
        if path is not None:
            related += (rulebook.spot(*path, label=f"the rulebook's {one.aspect}"),)
            citations = (rulebook.why(*path),)
    return check.finding(message, display_spot(one), related=related, citations=citations, tip=tip or _instead(one))


def display_spot(one: Judged, label: str = "") -> Spot:
    """Return where the plan has a display, with what a driver would make of it."""
    return one.signal.spot("shows", one.shown.aspect, label=label or _taken_for(one))


def _taken_for(one: Judged) -> str:
    """Say what a driver would make of a display."""
    if one.reading is None or one.verdict is Verdict.COUPLING:
        return ""
    if one.reading.aspect:
        return f"a driver reads {one.reading.aspect}"
    if len(one.reading.aspects) > 1:
        return f"a driver may read {listed(one.reading.aspects, 'or')}"
    if one.reading.kind is Kind.REST:
        return "this is how it stands when nothing is asked of it"
    return f"a driver would take this for {one.reading.in_doubt}" if one.reading.in_doubt else "no driver can read this"


def read_as(one: Judged) -> str:
    """Return what a display is read as."""
    aspects = one.reading.aspects if one.reading else ()
    return listed(aspects, "or")


def lit(one: Judged) -> str:
    """Return the lamps that are lit, as they look."""
    return listed(seen(one.lamps))


def wanted(one: Judged) -> str:
    """Return what the rulebook lights for the aspect, flashing or steady."""
    return listed(_steadily(one))


def _steadily(one: Judged) -> list[str]:
    """Return what the rulebook lights for the aspect, each lamp flashing or steady."""
    return [look if "flash" in look else f"{look} steady" for look in _look(one.wanted)]


def _look(display: Display) -> list[str]:
    """Return the elements of a display as they look; a lamp that merely is lit says so only by flashing elsewhere."""
    return seen({name: state for name, state in display.items() if state not in ("dark", "absent")})


def _instead(one: Judged) -> str:
    """Return what would have been right."""
    if one.form is None or one.aspect not in one.form.gives:
        return ""
    differs = any("flash" in token for token in one.lamps.values())
    lights = _steadily(one) if differs else _look(one.wanted)
    if not lights:
        return "light nothing"
    return f"light {lights[0]} alone" if len(lights) == 1 else f"light {listed(lights)}, and nothing else"


def exchanged(one: Judged, other: Judged) -> bool:
    """Tell whether two aspects have each other's display."""
    if one.part != other.part or one.reading is None or other.reading is None:
        return False
    return one.reading.aspect == other.aspect and other.reading.aspect == one.aspect


def form_of(one: Judged) -> str:
    """Return what the form of a display is called."""
    return kind(one.form.name, one.form.form) if one.form else "its form"
