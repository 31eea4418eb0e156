"""What examples and cases touch of a rulebook, and so what nobody has tried yet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field

from lampwright.words import counted

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from lampwright.findings import Path
    from lampwright.layout import BoundSignal, Layout
    from lampwright.project import Result
    from lampwright.rulebooks import Rulebook
    from lampwright.rulebooks.sequence import Step


class Touched(Struct):
    """Names of aspects, forms and indicators, and paths of rules of the sequence, that something has tried."""

    aspects: set[str] = field(default_factory=set)
    forms: set[str] = field(default_factory=set)
    rules: set[Path] = field(default_factory=set)
    indicators: set[str] = field(default_factory=set)

    def by_reading(self, book: Rulebook, form: str, display: Mapping[str, str], found: Mapping[str, str]) -> None:
        """Count a display that was read, with the aspects it was read as."""
        self._form(book, form)
        self.aspects.update(found.values())
        for name in display:
            self._indicator(book, name)

    def by_step(self, form: str, found: Step) -> None:
        """Count a step of the sequence."""
        self.forms.add(form)
        self.aspects.add(found.must)
        self.rules.add(found.path)

    def by_plans(self, result: Result, book: Rulebook) -> None:
        """Count everything that the signals of plans are, carry, and can be asked to show."""
        for layout in result.layouts:
            signals = [one for one in layout.signals.values() if one.rulebook and one.rulebook.id == book.id]
            for signal in signals:
                self._signal(book, signal)
            if signals:
                self._asked(layout, signals)

    def _signal(self, book: Rulebook, signal: BoundSignal) -> None:
        """Count a signal's form, and what it carries and shows on its routes."""
        if signal.form_name in book.forms:
            self._form(book, signal.form_name)
        for item in signal.entry.carries or ():
            self._indicator(book, item.name)
        for route in signal.entry.routes:
            for indication in route.indications:
                self._indicator(book, indication.name)

    def _asked(self, layout: Layout, signals: list[BoundSignal]) -> None:
        """Count what the sequence asks, and by which rules."""
        from lampwright.working.reach import reach

        reached = reach(layout)
        for signal in signals:
            for state in reached.of(signal.name):
                self.aspects.update(aspect for _, aspect in state.answer.shows)
                self.rules.update(one.path for one in state.answer.steps)

    def _form(self, book: Rulebook, name: str) -> None:
        """Count a form, and those of its parts."""
        self.forms |= {name, *(part.form for part in book.forms[name].parts.values())}

    def _indicator(self, book: Rulebook, name: str) -> None:
        """Count the indicator that ``junction``, ``position-1``, ``junction.position-1`` or ``main.junction`` mean."""
        steps = set(name.split("."))
        for indicator, record in book.indicators.items():
            if indicator in steps or steps & set(record.positions):
                self.indicators.add(indicator)


def untouched(book: Rulebook, touched: Touched) -> Iterator[tuple[str, str, list[str]]]:
    """Yield what there is of each kind: its name, how many of how many were touched, and what was not."""
    known = {"aspects": (book.aspects, touched.aspects), "forms": (book.forms, touched.forms)}
    known["indicators"] = (book.indicators, touched.indicators)
    for kind, (there, seen) in known.items():
        left = [name for name in there if name not in seen]
        yield kind, f"{len(there) - len(left)} of {len(there)}", left
    rules = dict(_rules(book))
    left = [name for path, name in rules.items() if path not in touched.rules]
    yield "sequence", f"{len(rules) - len(left)} of {counted(len(rules), 'rule')}", left


def _rules(book: Rulebook) -> Iterator[tuple[Path, str]]:
    """Yield the rules of the sequence by path, each with what it is called: its title, or where it stands."""
    for role, rules in book.sequence.items():
        for number, rule in enumerate(rules):
            path: Path = ("sequence", role, number) if role else ("sequence", number)
            place = f"{role or 'rule'} {number + 1}"
            yield path, f"{place} ({rule.title})" if rule.title else place
