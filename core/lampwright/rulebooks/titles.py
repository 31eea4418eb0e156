"""What things of a rulebook are called in a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.words import with_article

if TYPE_CHECKING:
    from lampwright.rulebooks.model import Form


def kind(name: str, form: Form) -> str:
    """Return what a signal of a form is called: ``a four-aspect signal``; the form's id if it has no title."""
    title = form.title.partition(",")[0].partition(" (")[0]
    return with_article(title[:1].lower() + title[1:]) if title else f"the form {name}"
