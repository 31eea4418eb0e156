"""``lampwright schema``: the schema of a format, for editors."""

from __future__ import annotations

import json
from typing import Any, Final

import click

from lampwright.commands.chosen import FOUND, chosen_rulebook
from lampwright.commands.group import session_of
from lampwright.commands.output import show, write
from lampwright.schema.files import SUFFIX, folder

INSIDE: Final = "values"
"""Definitions that all formats share; no format of its own."""


def formats() -> list[str]:
    """Return the formats there are schemas of."""
    names = [path.name for path in folder().iterdir() if path.name.endswith(SUFFIX)]
    return sorted(name.removesuffix(SUFFIX) for name in names if name != INSIDE + SUFFIX)


def _offered(_ctx: click.Context, _parameter: click.Parameter, begun: str) -> list[str]:
    """Return the formats whose name goes on like this."""
    return [name for name in formats() if name.startswith(begun)]


@click.command(
    epilog="""
\b
Examples:
  lampwright schema plan --rulebook gb-colour-light > plan.schema.json
  lampwright schema rulebook > rulebook.schema.json

An editor that reads JSON Schema for YAML then completes keys, forms and aspects, and tells what they mean. Many take
it from the first line of a plan:  # yaml-language-server: $schema=plan.schema.json
"""
)
@click.argument("form", metavar="FORMAT", shell_complete=_offered)
@click.option("--rulebook", default="", metavar="ID|PATH", help="For plans: with the words of this rulebook.")
@click.pass_context
def schema(ctx: click.Context, form: str, rulebook: str) -> None:
    """Print the JSON Schema of a format in one piece.

    FORMAT is plan, rulebook, parts or another that Lampwright reads or writes.
    """
    if form not in formats():
        from lampwright.words import did_you_mean  # only a slip pays for it

        raise click.UsageError(f"there is no format {form}: {did_you_mean(form, formats(), 'the formats')}")
    if rulebook and form != "plan":
        raise click.UsageError("only the schema of plans has the words of a rulebook")
    made = _of_rulebook(ctx, rulebook) if rulebook else _plain(form)
    write(json.dumps(made, indent=2, ensure_ascii=False) + "\n")


def _plain(form: str) -> dict[str, Any]:
    """Return a schema as it is, in one piece."""
    from lampwright.schema.bundle import bundled

    return bundled(form)


def _of_rulebook(ctx: click.Context, named: str) -> dict[str, Any]:
    """Return the schema of plans with the words of a rulebook; one that cannot be used ends the call."""
    import sys

    from lampwright.schema.vocabulary import plan_schema

    library = session_of(ctx).library
    name = chosen_rulebook(session_of(ctx), named)
    book = library.get(name) if name else None
    if book is None:
        show(library.findings, library.documents, to=sys.stderr.write)
        ctx.exit(FOUND)
    return plan_schema(book)
