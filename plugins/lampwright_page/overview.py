"""What the plan is, and what each signal is, in a few words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.page.markup import text
from lampwright.words import counted

if TYPE_CHECKING:
    from lampwright.layout import BoundSignal, Layout


def overview(layout: Layout) -> str:
    """Return what stands below the name of the plan."""
    routes = sum(len(signal.routes) for signal in layout.plan.signals.values())
    book = layout.rulebook
    return _listed(
        {
            "file": layout.plan.file,
            "rulebook": f"{book.title or book.id} ({book.id})" if book else layout.rulebook_name,
            "year": layout.year_text,
            "signals": counted(len(layout.signals), "signal") + f", {counted(routes, 'route')}",
            "scale": str(layout.plan.values.get("scale") or ""),
        }
    )


def signal(signal: BoundSignal) -> str:
    """Return what stands below the name of a signal."""
    entry, form = signal.entry, signal.reader
    title = form.form.title if form else ""
    return _listed(
        {
            "form": f"{title} ({signal.form_name})" if title else signal.form_name or "not known",
            "stage": entry.stage,
            "address": str(entry.rest.get("address") or ""),
            "carries": ", ".join(item.name for item in entry.carries or ()),
            "plates": ", ".join(entry.plates),
        }
    )


def _listed(said: dict[str, str]) -> str:
    """Return names with what is said of them, as far as it is."""
    rows = "".join(f"<dt>{text(name)}</dt><dd>{text(value)}</dd>" for name, value in said.items() if value)
    return f"<dl>{rows}</dl>"
