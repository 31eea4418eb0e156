"""``lampwright config``: what holds for a plan, and where that is said."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.chosen import FOUND, chosen_rulebook, know_year
from lampwright.commands.group import session_of
from lampwright.commands.output import options, show, write
from lampwright.reports.tables import table

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.session import Session
    from lampwright.settings import Configuration

EMPTY = b"plan: 1\nsignals:\n  A1: {}\n"
"""A plan that says nothing itself."""
DEFAULT = "default"
DEFAULTS = {
    "include": "every plan and rulebook in folders",
    "exclude": "none",
    "rulebook": "what a plan says",
    "year": "what a plan says",
    "levels": "what each rule says",
    "rulebooks": "those of plugins",
    "fail-on": "error",
}
"""What holds where nobody says anything."""


@click.command(
    epilog="""
\b
Examples:
  lampwright config                  what holds in this folder
  lampwright config north/yard.yaml  what holds for this plan
  lampwright config --year 1965      and with this option

\b
The nearest lampwright.toml, or pyproject.toml with a section [tool.lampwright], holds for a file,
from its folder upwards. A plan's own year and rulebook come before it, and options before both:
\b
  rulebook = "gb-colour-light"         of plans that name none
  year = 1978                          of plans that say none
  exclude = ["drafts", "*.old.yaml"]   not looked at in folders; or include = [...]
  rulebooks = ["books/ours"]           folders of rulebooks of your own, below this one
  fail-on = "warning"                  lowest level that fails a check
  [levels]                             or [tool.lampwright.levels]
  confusable-indicators = "off"        error, warning, note or off
"""
)
@click.argument("path", default=".", type=click.Path(exists=True))
@click.option("--year", default="", help="As for check.")
@click.option("--rulebook", default="", metavar="ID|PATH", help="As for check.")
@click.option("--fail-on", type=click.Choice(["error", "warning", "note"]), help="As for check.")
@click.pass_context
def config(ctx: click.Context, path: str, year: str, rulebook: str, fail_on: str | None) -> None:
    """Show the configuration in force, and where each part of it is said.

    PATH is a plan or a folder, this one if it is left out. The exit code is 1 if something in the file is wrong.
    """
    session = session_of(ctx)
    at = Path(path)
    plan = at / "any plan" if at.is_dir() else at
    found = session.configurations.of(plan)
    given = {"year": year, "rulebook": rulebook, "fail-on": fail_on or ""}
    write(f"{found.name or 'no lampwright.toml, and no pyproject.toml with [tool.lampwright]'}\n\n")
    for line in table(list(_rows(found, given)), options().width):
        write(f"{line}\n")
    _complain(ctx, session, _troubles(ctx, session, str(plan), year, rulebook))


def _troubles(ctx: click.Context, session: Session, plan: str, year: str, rulebook: str) -> list[Finding]:
    """Return what a check of a plan there would find in the file; an option that cannot be is a wrong call."""
    from lampwright.layout import Settings

    book = chosen_rulebook(session, rulebook) if rulebook else ""
    if book is None:
        show(session.library.findings, session.library.documents)
        ctx.exit(FOUND)
    result = session.examine([(plan, EMPTY)], Settings(year, book))
    if year:
        know_year(result, year)
    return [finding for finding in result.findings if finding.spot.file in session.configuration_documents]


def _complain(ctx: click.Context, session: Session, troubles: list[Finding]) -> None:
    """Show what is wrong in the file."""
    if troubles:
        write("\n")
        show(troubles, session.configuration_documents)
        ctx.exit(FOUND)


def _rows(found: Configuration, given: dict[str, str]) -> Iterator[list[str]]:
    """Yield each setting with its value and where that is said."""
    for key, default in DEFAULTS.items():
        if given.get(key):
            yield [key, f"option --{key}", given[key]]
        elif key in found.values:
            yield from _said(found, key)
        else:
            yield [key, DEFAULT, default]


def _said(found: Configuration, key: str) -> Iterator[list[str]]:
    """Yield the rows of a setting that the file says."""
    value = found.values[key]
    if isinstance(value, dict):
        yield from ([f"{key}.{name}", _where(found, key, name), str(item)] for name, item in value.items())
    elif isinstance(value, list):
        yield from ([key, _where(found, key, number), str(item)] for number, item in enumerate(value))
    else:
        yield [key, _where(found, key), str(value)]


def _where(found: Configuration, *steps: str | int) -> str:
    """Return file and line of a setting."""
    spot = found.spot(*steps, on_key=isinstance(steps[-1], str))
    place = found.document.place(spot.path, on_key=spot.on_key) if found.document else None
    return f"{found.name}:{place.line}" if place else found.name
