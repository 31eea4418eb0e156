"""The post of a signal: what its form, or where that is not said what it must be, makes of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from msgspec.structs import replace

from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.displays import reader
from lampwright.rulebooks.format import ANY_ROLE
from lampwright.rulebooks.sequence import rules
from lampwright.working.posts import STOP, STOPPING, SUBSIDIARY, Post, Unit

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.layout import BoundSignal
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.displays import FormReader
    from lampwright.years import Years


def post(signal: BoundSignal, *, formless: bool = False) -> Post | None:
    """Return the post of a signal; one that can give every aspect if its form is not known, or is left out of account.

    None if there is no rulebook, or the rulebook has no sequence.
    """
    if signal.rulebook is None or not signal.rulebook.sequence:
        return None
    entry = signal.entry
    years = signal.years
    form = "" if formless else signal.form_name
    hung = tuple(entry.plates.items())
    key = (
        "post",
        form,
        years and (years.first, years.last),
        entry.gives,
        entry.blanked,
        entry.mode,
        entry.regime,
        hung,
    )
    if key not in signal.rulebook.cache:
        signal.rulebook.cache[key] = _made(signal, signal.rulebook) if form else _any_form(signal, signal.rulebook)
    made: Post = signal.rulebook.cache[key]
    return made


def of_form(signal: BoundSignal, rulebook: Rulebook, form: str) -> Post:
    """Return the post that a signal would have if it were of another form."""
    years = signal.years
    key = ("post of", form, years and (years.first, years.last), signal.entry.mode, signal.entry.regime)
    if key not in rulebook.cache:
        rulebook.cache[key] = as_read(reader(rulebook, form, years, signal.entry.regime), _standing(signal))
    made: Post = rulebook.cache[key]
    return made


def as_read(form: FormReader, standing: Mapping[str, str]) -> Post:
    """Return the post that a form is where all of it is there; ``standing`` are the facts that never change."""
    mode = standing.get("mode", "")
    units = tuple(_unit(form.rulebook, part, inner, inner.gives, mode) for part, inner in _inner(form))
    return Post(form.rulebook, form.years, units, form.form.coupling, standing)


def asked_of(rulebook: Rulebook, role: str, years: Years | None) -> tuple[str, ...]:
    """Return every aspect that the sequence can ask of a role in the given years."""
    found = (aspect for _, rule in rules(rulebook, role) for aspect in (*rule.show, *rule.may, *_cells(rule.table)))
    return tuple(
        aspect for aspect in dict.fromkeys(found) if years is None or rulebook.aspects[aspect].years.covers(years)
    )


def _cells(table: Mapping[str, Any]) -> Iterator[str]:
    """Yield the aspects in the cells of a table."""
    for row in table.get("cells", {}).values():
        for cell in row.values():
            yield from cell if isinstance(cell, list) else [cell] if cell else []


def _made(signal: BoundSignal, rulebook: Rulebook) -> Post:
    """Build the post of a signal by its form."""
    reads = reader(rulebook, signal.form_name, signal.years, signal.entry.regime)
    inner = tuple(_unit_of(signal, rulebook, part, form) for part, form in _inner(reads))
    return Post(rulebook, signal.years, inner, reads.form.coupling, _standing(signal))


def _any_form(signal: BoundSignal, rulebook: Rulebook) -> Post:
    """Build a post that can give whatever may be asked of one where routes begin."""
    roles = [role for role in (STOP, SUBSIDIARY) if rules(rulebook, role)] or [ANY_ROLE]
    units = tuple(_ideal(rulebook, role, signal.years, named=len(roles) > 1) for role in roles)
    return Post(rulebook, signal.years, units, (), _standing(signal))


def _inner(form: FormReader) -> list[tuple[str, FormReader]]:
    """Return the parts of a form with what reads each; a form without parts is the part ````."""
    return list(form.parts.items()) or [("", form)]


def _standing(signal: BoundSignal) -> dict[str, str]:
    """Return the facts of a signal that never change."""
    facts = {"mode": signal.entry.mode, "regime": signal.entry.regime}
    return {key: value for key, value in facts.items() if value}


def meant(signal: BoundSignal, part: str, form: FormReader) -> Iterator[str]:
    """Yield the aspects of a part that it can give as it stands.

    It is meant to, no lamp for them is plated over, and beside the plates that hang there they read as themselves.
    """
    prefix = f"{part}." if part else ""
    gives = signal.entry.gives
    blanked = {signal.element(lamp) or lamp for lamp in signal.entry.blanked}
    hung = _hung(signal, form)
    for aspect in form.gives:
        if gives and not {aspect, f"{prefix}{aspect}"} & set(gives):
            continue
        if hung and not _reads_beside(form, aspect, hung):
            continue
        if not blanked or any(not blanked & {f"{prefix}{lamp}" for lamp in shown} for shown in form.displays(aspect)):
            yield aspect


def _reads_beside(form: FormReader, aspect: str, hung: dict[str, str]) -> bool:
    """Tell whether a display of an aspect that needs no other plates is read as it beside those that hang there."""
    plates = form.form.plates
    shown = (one for one in form.displays(aspect) if {name for name in one if name in plates} <= hung.keys())
    return any(form.read({**one, **hung}).aspect == aspect for one in shown)


def _hung(signal: BoundSignal, form: FormReader) -> dict[str, str]:
    """Return the plates of a signal that a form reads, as the plan says them."""
    return {name: state for name, state in signal.entry.plates.items() if name in form.anatomy.others}


def _unit_of(signal: BoundSignal, rulebook: Rulebook, part: str, form: FormReader) -> Unit:
    """Build a unit of a signal; plates can turn what stands at rest into another aspect, as Stop and Proceed."""
    made = _unit(rulebook, part, form, tuple(meant(signal, part, form)), signal.entry.mode)
    hung = _hung(signal, form)
    if not hung or made.rest != ("",):
        return made
    shown = (form.read({**one, **hung}).aspect for one in form.displays(form.form.in_doubt))
    return replace(made, rest=(next(shown, ""),))


def _unit(rulebook: Rulebook, part: str, form: FormReader, able: tuple[str, ...], mode: str) -> Unit:
    """Build a unit of a form without parts."""
    roles = form.form.roles
    role = next((role for role in roles if rules(rulebook, role)), roles[0] if roles else ANY_ROLE)
    said = form.form.rest
    rest = said.get(mode, next(iter(said.values()), "")) if isinstance(said, dict) else said or ""
    return Unit(part, role, form.name, able, _at_rest(rulebook, able, rest, form.form.in_doubt))


def _ideal(rulebook: Rulebook, role: str, years: Years | None, *, named: bool) -> Unit:
    """Build a unit that can give whatever its role is asked."""
    able = asked_of(rulebook, role, years)
    dark = next((aspect for aspect in able if rulebook.aspects[aspect].says.get("authority") == "none"), DARK)
    rest = _at_rest(rulebook, able, dark if role == SUBSIDIARY else "", "")
    return Unit(role if named else "", role, "", able, rest)


def _at_rest(rulebook: Rulebook, able: tuple[str, ...], rest: str, in_doubt: str) -> tuple[str, ...]:
    """Return what may stand with no route set."""
    stopping = tuple(name for name in able if rulebook.aspects[name].says.get("authority") in STOPPING)
    if stopping:
        return stopping
    found = next((aspect for aspect in (rest, in_doubt) if aspect in able or aspect == DARK), "")
    return (found,)
