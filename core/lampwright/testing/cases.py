"""One case at a time: a display and its reading, a situation and what must stand, a plan and what is found.

What an aspect means, and what a form and an indicator are, is in ``facts``.
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from lampwright.findings import Basis
from lampwright.rulebooks.anatomy import DARK
from lampwright.rulebooks.codec import as_text, as_words
from lampwright.rulebooks.displays import Kind, reader
from lampwright.rulebooks.format import ELEMENTS
from lampwright.rulebooks.sequence import ENDS, step
from lampwright.testing import facts
from lampwright.testing.seen import drawn, lights, rows
from lampwright.words import did_you_mean, listed
from lampwright.years import Years

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from lampwright.documents import Document
    from lampwright.findings import Finding
    from lampwright.findings import Path as Steps
    from lampwright.rulebooks.displays import FormReader, Reading
    from lampwright.testing.bench import Bench, Unfulfilled

NONE = "none"
WORDS = {NONE, str(Kind.AMBIGUOUS), str(Kind.REST)}
"""What a display may read as besides aspects."""
MAIN = {"class": "main"}


class Case:
    """A case in a file; ``run`` raises ``Unfulfilled`` if it is not as the file says."""

    def __init__(self, bench: Bench, document: Document, kind: str, number: int) -> None:
        """``kind`` is ``reads``, ``follows``, ``means``, ``forms``, ``indicators`` or ``plans``."""
        self.bench, self.document, self.kind = bench, document, kind
        self.path: Steps = (kind, number)
        self.said: Mapping[str, Any] = document.values[kind][number]

    @property
    def line(self) -> int:
        """The line where it stands."""
        return self.document.place(self.path).line

    def __str__(self) -> str:
        """Return what the case is called: what is asked, in short."""
        if self.kind == "reads":
            return f"{self.said['form']} {_shown(self.said['lit'])} reads {_shown(self.said['aspect'])}"
        if self.kind == "follows":
            return f"{self.said['form']} before {self.said['next']} shows {_shown(self.said['aspect'])}"
        if self.kind in ("means", "forms", "indicators"):
            return facts.title(self.said)
        return f"plan with {_shown(list(self.said['finds'])) or 'no findings'}"

    def run(self) -> None:
        """Ask the rulebook, of which the case must name a source if it names any."""
        self._sourced()
        asked = {"reads": self._reads, "follows": self._follows, "plans": self._plans}
        told = {"means": facts.means, "forms": facts.is_built, "indicators": facts.stands_beside}
        told[self.kind](self) if self.kind in told else asked[self.kind]()

    def _sourced(self) -> None:
        """Refuse a source that the rulebook does not have."""
        known = {*self.bench.book().sources, *map(str, Basis)}
        for said in as_words(self.said["source"]) if "source" in self.said else ():
            self.known(said.partition(" ")[0], known, "source", ("source",))

    def _reads(self) -> None:
        """Read a display."""
        form = self.form()
        display = dict(ELEMENTS.read(self.said["lit"]))
        wanted = self.said["aspect"]
        wanted = wanted if isinstance(wanted, dict) else {"": wanted}
        for part, aspect in wanted.items():
            self.known(
                aspect, {*self.bench.book().aspects, *WORDS}, "aspect", ("aspect", part) if part else ("aspect",)
            )
        if unknown := [name for name in display if not self._there(form, name)]:
            known = [*form.lamps, *form.anatomy.faces, *form.anatomy.others]
            self.known(unknown[0], known, "lamp, head, box or plate of this form", ("lit",))
        self._seen(form, display)
        readings = form.read_parts(display, {"route": self._route()} if "route" in self.said else {})
        found = {part: _word(reading) for part, reading in readings.items()}
        self.bench.touched.by_reading(self.bench.book(), form.name, display, found)
        if {part: found.get(part) for part in wanted} != wanted:
            told = found[""] if "" in found else _shown(found)
            raise self.complaint(f"this reads as {told}, and not as {_shown(self.said['aspect'])}", "aspect")

    def _seen(self, form: FormReader, display: Mapping[str, str]) -> None:
        """Compare the lights, and how they lie, with what the case says is seen."""
        seen = list(lights(form, display))
        found = Counter(light.colour for light in seen)
        if "seen" in self.said and found != Counter(as_words(self.said["seen"])):
            raise self.complaint(f"{listed(sorted(found.elements())) or 'no light'} is seen here", "seen")
        if "rows" in self.said and rows(seen) != drawn(self.said["rows"]):
            raise self.complaint(f"the lights lie {facts.quoted(rows(seen))}", "rows")

    def _follows(self) -> None:
        """Follow the sequence by one step."""
        form = self.form()
        if isinstance(self.said["aspect"], dict):
            self._together(form, self.said["aspect"])
            return
        if form.parts:
            part = self.said.get("part", "")
            self.known(part, form.parts, "part of this form", ("part",))
            form = form.parts[part]
        book = self.bench.book()
        self.known(self.said["next"], {*book.aspects, *ENDS}, "aspect", ("next",))
        self.known(self.said["aspect"], {*book.aspects, NONE}, "aspect", ("aspect",))
        role = self.said.get("role") or next(iter(form.form.roles), "")
        found = step(book, role, form.gives, self._situation(), form.years)
        self.bench.touched.by_step(form.name, found)
        if (found.must or NONE) != self.said["aspect"]:
            raise self.complaint(f"{_told(found.must, found.wanted)}, and not {self.said['aspect']}", "aspect")
        allowed = set(as_words(self.said["or"])) if "or" in self.said else set(found.may)
        if allowed != set(found.may):
            may = listed(found.may) or "nothing"
            raise self.complaint(f"{may} is allowed besides, and not {listed(sorted(allowed)) or 'nothing'}", "or")

    def _together(self, form: FormReader, wanted: Mapping[str, str]) -> None:
        """Follow the sequence by one step with all parts of a post, which force on each other what they must."""
        from lampwright.working.units import as_read

        book = self.bench.book()
        for key in ("or", "part", "role"):
            if key in self.said:
                raise self.complaint(f"{key} is asked of one part, and aspect names several", key)
        for part, aspect in wanted.items():
            self.known(part, form.parts, "part of this form", ("aspect", part))
            self.known(aspect, {*book.aspects, DARK, NONE}, "aspect", ("aspect", part))
        must, *_ = as_read(form, {}).answers("", self._situation())
        self.bench.touched.forms.add(form.name)
        for inner, found in zip(form.parts.values(), must.steps, strict=True):
            self.bench.touched.by_step(inner.name, found)
        shown = {part: aspect or NONE for part, aspect in must.shows if part in wanted}
        if shown != wanted:
            raise self.complaint(f"{_shown(shown)} must stand here, and not {_shown(wanted)}", "aspect")

    def _situation(self) -> dict[str, Any]:
        """Return the facts of a situation, by the names that rules use."""
        keys = ("next", "second", "distance", "mode", "regime")
        facts: dict[str, Any] = {key: self.said[key] for key in keys if key in self.said}
        if "next-route" in self.said:
            facts["next-route"] = _plain(self.said["next-route"])
        return {**facts, "approached": self.said.get("approached", False), "route": self._route()}

    def _route(self) -> dict[str, Any]:
        """Return the facts of the route that is set."""
        return {**MAIN, **_plain(self.said.get("route", {}))}

    def _plans(self) -> None:
        """Check a plan."""
        said = self.said["finds"]
        wanted = {rule: as_text(part) for rule, part in said.items()} if isinstance(said, dict) else {}
        result = self.bench.examine(self.said["plan"])
        rules = Counter(finding.rule for finding in result.findings)
        if rules != Counter(said if isinstance(said, list) else list(said)):
            from lampwright.testing.bench import Unfulfilled

            told = self.complaint(f"{_counted(rules) or 'nothing'} is found in this plan", "finds")
            raise Unfulfilled([*told.findings, *result.findings], {**told.documents, **result.documents})
        for rule, part in wanted.items():
            if not any(part in finding.message for finding in _of(rule, result.findings)):
                messages = listed([f"“{finding.message}”" for finding in _of(rule, result.findings)])
                raise self.complaint(f"{rule} says {messages}", "finds", rule)

    def form(self) -> FormReader:
        """Return the form that is asked, in the years of the case."""
        book, name = self.bench.book(), self.said["form"]
        self.known(name, book.forms, "form", ("form",))
        return reader(book, name, self.span("year"))

    def span(self, key: str) -> Years | None:
        """Return the years that the case says under a key; None if it says none."""
        try:
            return Years.parse(self.said[key]) if key in self.said else None
        except ValueError as error:
            raise self.complaint(str(error), key) from None

    def _there(self, form: FormReader, name: str) -> bool:
        """Tell whether a form, or a part of it, has an element."""
        part, _, rest = name.partition(".")
        if form.parts:
            return part in form.parts and self._there(form.parts[part], rest)
        return name in form.anatomy.lamps or name in form.anatomy.faces or name in form.anatomy.others

    def known(self, name: str, known: Collection[str], what: str, steps: Steps) -> None:
        """Refuse a name that is not there."""
        if name not in known:
            tip = did_you_mean(name, sorted(known), "there") if name else f"there are {listed(sorted(known))}"
            raise self.complaint(f"there is no {what} {name}".rstrip(), *steps, tip=tip)

    def complaint(self, message: str, *steps: str | int, tip: str = "") -> Unfulfilled:
        """Return that this case is not fulfilled."""
        return self.bench.complain(self.document, (*self.path, *steps), message, tip)


def _plain(facts: Mapping[str, Any]) -> dict[str, Any]:
    """Return facts of a route as plans give them: words, save what is true or false."""
    return {key: value if isinstance(value, bool) else as_text(value) for key, value in facts.items()}


def _word(reading: Reading) -> str:
    """Return a reading as cases have it."""
    return reading.aspect or str(reading.kind)


def _told(must: str, wanted: tuple[str, ...]) -> str:
    """Say what stands in a situation."""
    if must:
        return f"{must} must stand here"
    if wanted:
        return f"{listed(wanted, 'or')} is asked for, which this form cannot give"
    return "no rule fits here"


def _of(rule: str, findings: list[Finding]) -> list[Finding]:
    """Return the findings of a rule."""
    return [finding for finding in findings if finding.rule == rule]


def _counted(rules: Counter[str]) -> str:
    """Return how often each rule is found."""
    return listed([f"{rule}{f' ({number} times)' if number > 1 else ''}" for rule, number in rules.items()])


def _shown(value: Any) -> str:
    """Return a part of a case on one line."""
    if isinstance(value, dict):
        return " ".join(f"{name} {_shown(item)}" for name, item in value.items())
    return "+".join(map(as_text, value)) if isinstance(value, list) else as_text(value)
