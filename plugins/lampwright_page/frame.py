"""The frame of the page: head, rules of what may run, printing."""

from __future__ import annotations

from base64 import b64encode
from hashlib import sha256
from typing import TYPE_CHECKING

from lampwright.page.markup import text
from lampwright_page.style import PRINTING, STYLE

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from lampwright.page import PagePart


def document(title: str, body: str, styles: Iterable[str], scripts: Iterable[str]) -> str:
    """Return the whole file. Nothing is fetched, and of scripts only those of the page itself run."""
    running = [PRINTING, *scripts]
    allowed = " ".join(f"'sha256-{_digest(script)}'" for script in running)
    policy = (
        f"default-src 'none'; style-src 'unsafe-inline'; img-src data:; script-src {allowed}; base-uri 'none'; "
        "form-action 'none'"
    )
    head = [
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">',
        '<meta name="viewport" content="width=device-width">',
        '<meta name="referrer" content="no-referrer">',
        f"<title>{text(title)}</title>",
        f"<style>{STYLE}{''.join(styles)}</style>",
    ]
    ends = "\n".join(f"<script>{script}</script>" for script in running)
    return '<!doctype html>\n<html lang="en">\n<head>\n{}\n</head>\n<body>\n{}\n{}\n</body>\n</html>\n'.format(
        "\n".join(head), body, ends
    )


def print_buttons(parts: Sequence[PagePart]) -> str:
    """Return a button for each part that may be wanted on paper by itself."""
    buttons = "\n".join(_button(part, part.title) for part in parts if part.prints)
    whole = "The whole page prints on A4 as it is."
    return f'<div class="screen"><p>{whole} By themselves:</p>{buttons}</div>' if buttons else ""


def _button(part: PagePart, words: str) -> str:
    """Return a button that prints."""
    return f'<button type="button" class="screen" data-prints="{part.name}">{text(words)}</button>'


def _digest(script: str) -> str:
    """Return what a browser compares a script with."""
    return b64encode(sha256(script.encode()).digest()).decode()
