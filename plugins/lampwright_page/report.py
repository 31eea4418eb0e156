"""``lampwright report``: the page of a plan."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.chosen import FOUND, NOTHING_TO_CHECK, about_plans, chosen_rulebook, know_year, named_files
from lampwright.commands.chosen import sources as named_sources
from lampwright.commands.group import session_of
from lampwright.commands.output import say, show, write
from lampwright.commands.progress import Progress
from lampwright.layout import Settings

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lampwright.layout import Layout
    from lampwright.project import Result
    from lampwright.session import Session

FAILED = 2


@click.command(
    epilog="""
\b
Examples:
  lampwright report layout.yaml -o layout.html    one file, to look at in any browser
  lampwright report layouts/ -o pages             a page for each plan, into a folder
  lampwright report layout.yaml > layout.html
"""
)
@about_plans
@click.option("-o", "--output", default="", metavar="FILE|FOLDER", help="Where pages go; FILE ends in .html.")
@click.pass_context
def report(ctx: click.Context, paths: tuple[str, ...], year: str, rulebook: str, output: str) -> None:
    """Make the page of a plan: one file that needs nothing else.

    It shows the track with its signals and lets the layout be worked; what is found and where; each signal with its
    aspects, wiring, load and bench card; the rulebook's sources; the plan's text. It prints on A4, the bench cards and
    the schedule of wires by themselves too. The exit code says nothing of findings: that is lampwright check's.
    """
    session = session_of(ctx)
    result = _examined(ctx, session, paths, year, rulebook)
    if not result.layouts:
        _give_up(ctx, result, paths)
    single = not output or output.endswith(".html")
    if single and len(result.layouts) > 1:
        raise click.UsageError(f"these are {len(result.layouts)} plans: name a folder by -o, or one of them")
    for layout in result.layouts:
        html = _page(session, layout, result)
        if output:
            _save(ctx, html, Path(output) if single else Path(output) / f"{_named(layout)}.html")
        else:
            write(html)
    for trouble in session.troubles:
        say(f"lampwright: {trouble.message}")
    if session.troubles:
        ctx.exit(FAILED)


def _examined(ctx: click.Context, session: Session, paths: Sequence[str], year: str, rulebook: str) -> Result:
    """Check the plans, as ``lampwright check`` does."""
    book = chosen_rulebook(session, rulebook) if rulebook else ""
    if book is None:
        show(session.library.findings, session.library.documents)
        ctx.exit(FOUND)
    with Progress() as progress:
        result = session.examine(named_sources(named_files(session, paths)), Settings(year, book), tell=progress)
    if year:
        know_year(result, year)
    return result


def _give_up(ctx: click.Context, result: Result, paths: Sequence[str]) -> None:
    """Say why there is no page: what is wrong with the files, or that they hold no plan."""
    if not result.findings:
        say(f"lampwright: there is no plan in {', '.join(paths)}")
        ctx.exit(NOTHING_TO_CHECK)
    show(result.findings, result.documents)
    ctx.exit(FOUND)


def _page(session: Session, layout: Layout, result: Result) -> str:
    """Return the page of a layout with the parts of all plugins."""
    from lampwright_page.page import page

    def blame(part: str, error: BaseException) -> None:
        session.host.raised("page_parts", part, error)

    return page(layout, result, session.host.page_parts(), blame)


def _save(ctx: click.Context, html: str, path: Path) -> None:
    """Write a page; one that is there is replaced whole or not at all."""
    from lampwright.edits import CannotWrite, make_folder, put

    try:
        make_folder(path.parent)
        put(path, html, over=True)
    except CannotWrite as trouble:
        say(f"lampwright: {trouble}")
        ctx.exit(FAILED)
    say(f"{path}")


def _named(layout: Layout) -> str:
    """Return a name for the page's file, whatever the plan's is."""
    kept = "".join(char if char.isascii() and (char.isalnum() or char in "-_.") else "-" for char in layout.plan.stem)
    return kept.strip("-.") or "plan"
