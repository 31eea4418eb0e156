"""``lampwright explain``: what a rule finds and why, as a page of a handbook."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

import click
from msgspec import Struct

from lampwright.commands.group import session_of
from lampwright.commands.output import options, show, write
from lampwright.manual import INDENT, Example, manual, pieces
from lampwright.reports.printable import wrapped
from lampwright.reports.style import Style
from lampwright.reports.tables import Drawn, labelled, table

if TYPE_CHECKING:
    from lampwright.checks import Check
    from lampwright.findings import Level
    from lampwright.reports.tables import Cell
    from lampwright.session import Session

KERNEL = "lampwright itself"


class Page(Struct, frozen=True):
    """What there is to say of a rule: ``facts`` are short, and each has its name."""

    name: str
    level: Level
    manual: str
    bringer: str
    facts: tuple[tuple[str, str], ...] = ()

    @property
    def finds(self) -> str:
        """The first line of the manual: what the rule finds."""
        return self.manual.partition("\n")[0].replace("``", "`")


def _offered(ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Return the rules whose name goes on like this."""
    return [name for name in _pages(session_of(ctx)) if name.startswith(begun)]


@click.command(
    epilog="""
\b
Examples:
  lampwright explain                  list all rules
  lampwright explain unknown-form     one of them, with examples
"""
)
@click.argument("rule", default="", shell_complete=_offered)
@click.pass_context
def explain(ctx: click.Context, rule: str) -> None:
    """Explain what a finding means.

    RULE is the name in brackets at the head of a finding. Without one, all rules are listed.
    """
    session = session_of(ctx)
    pages = _pages(session)
    if not rule:
        _list(list(pages.values()))
    elif rule in pages:
        _print(session, pages[rule])
    else:
        from lampwright.words import did_you_mean  # only a slip pays for it

        raise click.UsageError(f"there is no rule {rule}: {did_you_mean(rule, pages, 'the rules')}")


def _pages(session: Session) -> dict[str, Page]:
    """Return the pages of all rules, by plugin and name, the kernel's own last."""
    from lampwright.rules import RULES

    host = session.host
    brought = sorted((host.bringer("checks", check.name), check.name, check) for check in host.checks())
    pages = {name: _page(check, bringer) for bringer, name, check in brought}
    own = {name: Page(name, rule.level, rule.manual, KERNEL) for name, rule in RULES.items() if name not in pages}
    return pages | own


def _page(check: type[Check], bringer: str) -> Page:
    """Return the page of a check."""
    facts = (
        ("needs", ", ".join(check.needs) and f"nothing found by {', '.join(check.needs)}"),
        ("sources", "; ".join(check.sources)),
    )
    level = ("looks at", "the whole plan" if check.scope.name == "plan" else f"each {check.scope.name}")
    return Page(check.name, check.level, manual(check), f"plugin {bringer}", (level, *facts))


def _list(pages: list[Page]) -> None:
    """Print all rules with the first line of each."""
    style = Style(colour=options().colour)
    wide = max(len(page.name) for page in pages)
    for bringer, group in groupby(pages, key=lambda page: page.bringer):
        write(f"{style('strong', bringer)}\n")
        rows: list[list[Cell]] = [[f"{page.name:{wide}}", _level(page, style), page.finds] for page in group]
        for line in table(rows, options().width, indent="  "):
            write(f"{line}\n")
        write("\n")


def _level(page: Page, style: Style) -> Drawn:
    """Return the level of a rule's findings."""
    return Drawn(str(page.level), style(str(page.level), str(page.level)))


def _print(session: Session, page: Page) -> None:
    """Print one page, and below each wrong example what is found in it."""
    style = Style(colour=options().colour)
    write(f"{style(str(page.level), f'{page.level}[{page.name}]')}\n\n")
    for piece in pieces(page.manual):
        if isinstance(piece, Example):
            _example(session, piece)
        else:
            _prose(piece)
    rows = [(name, text) for name, text in (*page.facts, ("brought by", page.bringer)) if text]
    for line in labelled(rows, style, options().width):
        write(f"{line}\n")


def _prose(text: str) -> None:
    """Print paragraphs; what is indented or listed stays in its lines."""
    for paragraph in text.replace("``", "`").split("\n\n"):
        lines = paragraph.split("\n")
        if not any(line.startswith((" ", "- ")) for line in lines):
            lines = wrapped(" ".join(lines), options().width)
        write("\n".join(lines) + "\n\n")


def _example(session: Session, example: Example) -> None:
    """Print an example, and what is found in it if it is a wrong one."""
    from lampwright.layout import Settings

    write("".join(f"{INDENT}{line}".rstrip() + "\n" for line in example.shown.splitlines()) + "\n")
    if example.wrong:
        result = session.examine([("example.yaml", example.shown.encode())], Settings(), configure=False)
        show((finding for finding in result.findings if finding.spot.file), result.documents, INDENT, explain=False)
