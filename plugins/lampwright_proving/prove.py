"""``lampwright prove``: the bench card, and what is wrong where something else was seen."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from lampwright.commands.chosen import FOUND, STANDARD_INPUT, layouts
from lampwright.commands.output import options, say, write

if TYPE_CHECKING:
    from lampwright.layout import Layout
    from lampwright_proving.verdict import Verdict


@click.command(
    epilog="""
\b
Exit codes:
  0  a card was printed, or all that was seen is as it should be
  1  something is wrong on the bench, or a file cannot be used
  2  a wrong call, or Lampwright itself failed

\b
Examples:
  lampwright prove layout.yaml                        the bench card of all signals
  lampwright prove layout.yaml TB1                    that of one
  lampwright prove layout.yaml --format html > c.html a card to print, A4
  lampwright prove layout.yaml --seen seen.yaml       what is wrong, by what was seen
  lampwright prove layout.yaml --seen seen.yaml --fix and make the plan say what is
  lampwright prove layout.yaml TB1 --ask              ask for it here, command by command
  lampwright prove layout.yaml TB1 --log good         it is proved: into the log and the plan
  lampwright prove layout.yaml TB1 --log faulty       it is not, or no longer
  lampwright prove layout.yaml --failing              what a driver would read if one thing failed

\b
A file of what was seen:
  seen: 1
  signals:
    TB1:
      danger: red                            all that lit; what is not named was dark
      caution: [yellow, {red: dim}]          several, and one of them dim
      clear: {green: dark, red: flashing}    only these were looked at
  outputs: {A.0: TB1.red, none: []}          outputs switched by hand

For model railways only. Extra-low voltage only; power off before a wire is moved.
"""
)
@click.argument("plan", metavar="PLAN")
@click.argument("signals", metavar="[SIGNAL]...", nargs=-1)
@click.option("--seen", type=click.Path(dir_okay=False), help="What lit: a file that begins with `seen: 1`.")
@click.option("--ask", is_flag=True, help="Ask here what lights, until looking tells nothing more.")
@click.option("--keep", type=click.Path(dir_okay=False), help="With --ask: write what was seen to a new file.")
@click.option("--fix", is_flag=True, help="Make the plan say what was found, if all checks still hold.")
@click.option("--take", type=int, metavar="N", help="Which of several explanations is the right one.")
@click.option("--failing", is_flag=True, help="What would be read if one lamp, output, wire or board failed.")
@click.option(
    "--log",
    "result",
    type=click.Choice(["good", "faulty"]),
    help="Write down how the signals were found: good makes them `proved` in the plan, faulty takes that away.",
)
@click.option("--part", default="", metavar="TEXT", help="With --log: the part that was changed.")
@click.option("--format", "form", type=click.Choice(["text", "json", "html"]), default="text", show_default=True)
@click.option("--year", default="", help="A year, a span (1974..1979) or an era; in place of what the plan says.")
@click.option("--rulebook", default="", metavar="ID|PATH", help="A rulebook's id, or its folder.")
@click.pass_context
def prove(  # noqa: PLR0913, PLR0917  (one parameter for each option)
    ctx: click.Context,
    plan: str,
    signals: tuple[str, ...],
    seen: str | None,
    ask: bool,  # noqa: FBT001
    keep: str | None,
    fix: bool,  # noqa: FBT001
    take: int | None,
    failing: bool,  # noqa: FBT001
    result: str | None,
    part: str,
    form: str,
    year: str,
    rulebook: str,
) -> None:
    """Print a plan's bench card, or say what is wrong by what was seen.

    The card tells for every signal what to command and what must be seen, lamp by lamp. From what was seen instead,
    the least number of faults that explains all of it is found, and what would decide where there are several ways.
    """
    _sensible(plan=plan, seen=seen, ask=ask, keep=keep, fix=fix, take=take, form=form)
    if (result and (seen or ask or plan == str(STANDARD_INPUT))) or (part and not result):
        raise click.UsageError("--log is for a plan in a file, without --seen or --ask; --part goes with it")
    if failing and (seen or ask or result or form == "html"):
        raise click.UsageError("--failing stands by itself, as text or JSON")
    layout = _layout(ctx, plan, signals, year, rulebook)
    if failing:
        _print_failing(layout, signals, form)
        return
    if result:
        from lampwright_proving.keeping.logging import log

        log(layout, signals, result, part)
        return
    if not seen and not ask:
        _print_card(layout, signals, form)
        return
    from lampwright_proving.fixing import told  # a card alone does not pay for it

    verdicts = _seen(ctx, layout, seen, signals, fix=fix) if seen else _asked(layout, signals, keep)
    wrong = [told(ctx, layout, verdict, fix=fix, take=take, form=form) for verdict in verdicts]
    if any(wrong):
        ctx.exit(FOUND)


def _sensible(  # noqa: PLR0913
    *, plan: str, seen: str | None, ask: bool, keep: str | None, fix: bool, take: int | None, form: str
) -> None:
    """Refuse options that do not go together."""
    if seen and ask:
        raise click.UsageError("--seen and --ask are two ways to say the same: give one of them")
    if (fix or take is not None) and not (seen or ask):
        raise click.UsageError("--fix and --take need what was seen: --seen FILE, or --ask")
    if keep and not ask:
        raise click.UsageError("--keep is for what --ask has asked")
    if form == "html" and (seen or ask):
        raise click.UsageError("--format html is for the bench card")
    if ask and form != "text":
        raise click.UsageError("--ask speaks text")
    if plan == str(STANDARD_INPUT) and (fix or ask):
        raise click.UsageError("a plan from standard input can be neither asked about nor changed")


def _layout(ctx: click.Context, plan: str, signals: tuple[str, ...], year: str, rulebook: str) -> Layout:
    """Return the layout of the one plan, which has the signals."""
    found = layouts(ctx, [plan], year, rulebook)
    if len(found) > 1:
        raise click.UsageError(f"there are {len(found)} plans in {plan}: name one of them")
    for name in signals:
        if name not in found[0].signals:
            from lampwright.words import did_you_mean  # only a slip pays for it

            tip = did_you_mean(name, found[0].signals, "the signals")
            raise click.UsageError(f"there is no signal {name}: {tip}")
    return found[0]


def _print_card(layout: Layout, signals: tuple[str, ...], form: str) -> None:
    """Print the bench card."""
    from lampwright_proving.card.model import card

    made = card(layout, signals)
    if form == "html":
        from lampwright_proving.card.page import page

        write(page(made))
    elif form == "json":
        import json

        from lampwright_proving.card.record import record

        write(json.dumps(record(made), indent=2, ensure_ascii=False) + "\n")
    else:
        from lampwright.reports.style import Style
        from lampwright_proving.card.text import lines

        usual = options()
        for line in lines(made, Style(colour=usual.colour), usual.width):
            write(f"{line}\n")


def _print_failing(layout: Layout, signals: tuple[str, ...], form: str) -> None:
    """Print what would be read if one thing failed."""
    from lampwright_proving.failing.report import judged, lines, record

    found = judged(layout, signals)
    if form == "json":
        import json

        write(json.dumps(record(layout, found), indent=2, ensure_ascii=False) + "\n")
    else:
        from lampwright.reports.style import Style

        usual = options()
        for line in lines(layout, found, Style(colour=usual.colour), usual.width):
            write(f"{line}\n")


def _seen(ctx: click.Context, layout: Layout, seen: str, signals: tuple[str, ...], *, fix: bool) -> list[Verdict]:
    """Return what follows from a file of what was seen; what is wrong with the file is told, and the exit code is 1."""
    from lampwright_proving.looking.files import verdict_of

    if not Path(seen).exists():
        raise click.UsageError(f"there is no file {seen}")
    return [verdict_of(ctx, layout, Path(seen), signals, fix=fix)]


def _asked(layout: Layout, signals: tuple[str, ...], keep: str | None) -> list[Verdict]:
    """Return what follows from the answers, for each signal by itself."""
    from lampwright_proving.looking.asking import ask_all

    try:
        return ask_all(layout, signals, keep)
    except (KeyboardInterrupt, EOFError, click.Abort):
        say("\nlampwright: stopped; nothing is written")
        raise
