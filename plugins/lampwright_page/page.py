"""The page put together: what the plan is, what is found, the parts of all plugins, sources, the plan's text."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct, field

from lampwright import ANYTHING
from lampwright.page import PagePart, Place
from lampwright.page.markup import anchor, data, link, paragraph, text
from lampwright_page import frame, overview
from lampwright_page.findings import findings
from lampwright_page.plan_text import plan_text
from lampwright_page.sources import sources

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence

    from lampwright.layout import BoundSignal, Layout
    from lampwright.project import Result

    Blame = Callable[[str, BaseException], object]
    """Is told which part raised, and what."""

CAUTIONS: Final = (
    "For model railways only: nothing here is fit for a real one.",
    (
        "Electrics: extra-low voltage only, from a listed supply, with a fuse in every branch; follow local codes, and "
        "leave mains work to licensed people."
    ),
)


class Page(Struct, dict=True):
    """The page of one layout, as it is put together; ``made`` are the parts that stand on it."""

    layout: Layout
    parts: Sequence[PagePart]
    blame: Blame
    made: dict[str, PagePart] = field(default_factory=dict)

    def whole(self) -> str:
        """Return the page."""
        layout = self.layout
        title = layout.plan.name or layout.plan.stem
        before = self._once(Place.BEFORE)
        blocks = {name: self._block(signal) for name, signal in layout.signals.items()}
        after = self._once(Place.AFTER)
        names = "".join(f"<li>{link(name, 'about', name)}</li>" for name in blocks)
        contents = [
            *(f"<li>{link(part.title, part.name)}</li>" for part in before),
            f'<li>{link("Signals", "signals")}<ol class="names">{names}</ol></li>',
            *(f"<li>{link(part.title, part.name)}</li>" for part in after),
        ]
        body = [
            '<a class="skip" href="#main">To the content</a>',
            f"<header><h1>{text(title)}</h1>\n{overview.overview(layout)}</header>",
            f'<nav aria-label="Contents" class="besides"><ol>{"".join(contents)}</ol></nav>',
            '<main id="main">',
            *before.values(),
            f'<section id="signals"><h2>Signals</h2>\n{"".join(blocks.values())}</section>',
            *after.values(),
            "</main>",
            f"<footer>{''.join(map(paragraph, CAUTIONS))}</footer>",
            *self._data(),
        ]
        styles = [part.style for part in self.made.values() if part.style]
        scripts = [part.script for part in self.made.values() if part.script]
        return frame.document(title, "\n".join(body), styles, scripts)

    def _once(self, place: Place) -> dict[PagePart, str]:
        """Return the parts that stand once at a place, each with its section."""
        found = {part: self._html(part, self.layout) for part in self._at(place)}
        return {part: _section(part, html) for part, html in found.items() if html}

    def _block(self, signal: BoundSignal) -> str:
        """Return what all parts say of a signal."""
        inner = "\n".join(
            f'<section id="{anchor(part.name, signal.name)}" data-part="{part.name}"><h4>{text(part.title)}</h4>\n'
            f"{html}</section>"
            for part in self._at(Place.SIGNAL)
            if (html := self._html(part, signal))
        )
        head = f'<h3>{text(signal.name)}</h3><div class="besides">{overview.signal(signal)}</div>'
        return f'<article id="{anchor("about", signal.name)}">{head}\n{inner}</article>\n'

    def _at(self, place: Place) -> list[PagePart]:
        """Return the parts of a place in their order."""
        return sorted((part for part in self.parts if part.place is place), key=lambda part: part.order)

    def _html(self, part: PagePart, about: Layout | BoundSignal) -> str:
        """Return what a part says; nothing if it cannot."""
        try:
            html = part.html(about)  # type: ignore[arg-type]  # its place says which of the two
        except ANYTHING as error:
            self.blame(part.name, error)
            return ""
        if html:
            self.made.setdefault(part.name, part)
        return html

    def _data(self) -> Iterator[str]:
        """Yield what the scripts of parts find."""
        for part in self.made.values():
            if part.data is not None:
                yield f'<script type="application/json" id="data-{part.name}">{data(part.data(self.layout))}</script>'


def _section(part: PagePart, html: str) -> str:
    """Return the section of a part that stands once."""
    return f'<section id="{part.name}" data-part="{part.name}"><h2>{text(part.title)}</h2>\n{html}</section>'


def page(layout: Layout, result: Result, parts: Sequence[PagePart], blame: Blame) -> str:
    """Return the page of a layout; ``result`` is what a check of it gave, ``parts`` are those of plugins."""
    own = [
        PagePart("findings", "Findings", 0, Place.BEFORE, lambda one: findings(one, result)),
        PagePart("printing", "Printing", 900, Place.BEFORE, lambda _: frame.print_buttons(parts)),
        PagePart("sources", "Sources", 900, Place.AFTER, sources),
        PagePart("plan", "The plan", 1000, Place.AFTER, lambda one: plan_text(one, result)),
    ]
    return Page(layout, [*own, *parts], blame).whole()
