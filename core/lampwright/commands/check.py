"""``lampwright check``: plans and rulebooks in, a report out."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click
from msgspec.structs import replace

from lampwright.collector import collector_off
from lampwright.commands.agreed import agreement
from lampwright.commands.chosen import (
    FOUND,
    NOTHING_TO_CHECK,
    STANDARD_INPUT,
    about_plans,
    chosen_rulebook,
    know_year,
    named_files,
    sources,
)
from lampwright.commands.fixing import fixed
from lampwright.commands.group import session_of
from lampwright.commands.output import options, say
from lampwright.commands.progress import Progress
from lampwright.commands.reporting import print_report, reporter_of, reports
from lampwright.commands.timings import Timings
from lampwright.documents import find, is_folder
from lampwright.findings import Level
from lampwright.layout import Settings
from lampwright.project import Result
from lampwright.reports.capped import USUAL, capped
from lampwright.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lampwright.engine import Tell
    from lampwright.session import Session

TEXT = "text"
"""The format for people."""


@click.command(
    epilog="""
\b
Exit codes:
  0  nothing found at or above --fail-on
  1  findings at or above --fail-on
  2  a wrong call, or Lampwright itself failed
  3  there was nothing to check

\b
Examples:
  lampwright check layout.yaml
  lampwright check layouts/ --fail-on warning
  lampwright check layout.yaml --year 1965        as if the plan said so
  lampwright check layout.yaml --rulebook ./mine/ by a rulebook of your own
  lampwright check - < layout.yaml                read standard input
  lampwright check layout.yaml --format json      for programs
  lampwright check --baseline known.yaml --write-baseline layouts/
                                                  agree on what is found now
"""
)
@about_plans
@click.option("--format", "form", default=TEXT, metavar="FORMAT", help="text, json, or what a plugin brings.")
@click.option(
    "--report",
    multiple=True,
    metavar="FORMAT=FILE",
    help="Write a report to a file besides: sarif, junit, gitlab, markdown ...; can be given several times.",
)
@click.option(
    "--annotations/--no-annotations",
    default=None,
    help="Print what GitHub shows beside the lines; by itself where its workflows run.",
)
@click.option(
    "--fail-on",
    type=click.Choice(["error", "warning", "note"]),
    help="Lowest level of a finding that fails the check; error, if the configuration does not say another.",
)
@click.option("--fix", is_flag=True, help="Mend slips of the pen, then check again.")
@click.option("--unsafe-fixes", is_flag=True, help="With --fix or --diff: mend also where something else may be meant.")
@click.option("--diff", is_flag=True, help="Show how files would be mended, and write nothing.")
@click.option("--no-suppress", is_flag=True, help="Show what comments in the files allow.")
@click.option(
    "--baseline", type=click.Path(path_type=Path), metavar="FILE", help="Leave out the findings that FILE agrees on."
)
@click.option("--write-baseline", is_flag=True, help="Agree on what is found now: write it to the baseline.")
@click.option("--shrink-baseline", is_flag=True, help="Lower the baseline to what is still found.")
@click.option(
    "--max-findings",
    type=click.IntRange(0),
    metavar="N",
    help="Most findings of one rule in one file that are shown, 0 for all; 100 in text, all in other formats.",
)
@click.option("--timings", is_flag=True, help="Say afterwards where the time went.")
@click.pass_context
def check(  # noqa: PLR0913  (one parameter for each option)
    ctx: click.Context,
    paths: tuple[str, ...],
    *,
    form: str,
    year: str,
    rulebook: str,
    report: tuple[str, ...],
    annotations: bool | None,
    fail_on: str | None,
    fix: bool,
    unsafe_fixes: bool,
    diff: bool,
    no_suppress: bool,
    baseline: Path | None,
    write_baseline: bool,
    shrink_baseline: bool,
    max_findings: int | None,
    timings: bool,
) -> None:
    """Check signal plans and rulebooks.

    PATHS are files, folders to be searched for plans and rulebooks, or - for standard input.
    """
    session = session_of(ctx)
    files = named_files(session, paths)
    mending = fix or diff
    _can_mend(files, mending=mending, unsafe=unsafe_fixes)
    reporter = reporter_of(session, form)
    agreed = agreement(baseline, write=write_baseline, shrink=shrink_baseline)
    also = reports(session, report, annotations=_annotated(form) if annotations is None else annotations)
    timer = Timings() if timings else None
    with Progress() as progress:
        result = _examined(
            session, files, year, rulebook, allow=not no_suppress, tell=timer or progress, share=not timer
        )
    if mending:

        def again(texts: Mapping[str, str]) -> Result:
            return _examined(session.anew(), files, year, rulebook, allow=not no_suppress, texts=texts)

        result = fixed(result, again, unsafe=unsafe_fixes, show=diff)
    if agreed:
        agreed.apply(result)
    level = min(_failing(session, str(file), fail_on) for file in files or [Path()])
    if files or result.findings:
        most = max_findings if max_findings is not None else USUAL if form == TEXT else 0
        print_report(session, reporter, form, capped(result, most), replace(options(), fail_on=level))
    for one in also:
        one.make(session, capped(result, max_findings or 0), level)
    if timer:
        timer.report(say)
    _tell_what_is_empty(session, paths, files)
    if not files:
        ctx.exit(NOTHING_TO_CHECK)
    if any(finding.level >= _failing(session, finding.spot.file, fail_on) for finding in result.findings):
        ctx.exit(FOUND)


def _can_mend(files: list[Path], *, mending: bool, unsafe: bool) -> None:
    """Refuse a call that says how to mend but not to do it, or that cannot be mended."""
    if unsafe and not mending:
        raise click.UsageError("--unsafe-fixes says what may be mended: add --fix to do it, or --diff to see it")
    if mending and STANDARD_INPUT in files:
        raise click.UsageError("standard input cannot be mended: name the file")


def _failing(session: Session, file: str, option: str | None) -> Level:
    """Return the lowest level of what is found in a file that fails the check."""
    return Level[option.upper()] if option else session.configurations.of(file).fail_on


def _examined(  # noqa: PLR0913  (what a call says)
    session: Session,
    files: list[Path],
    year: str,
    rulebook: str,
    *,
    allow: bool,
    tell: Tell | None = None,
    share: bool = False,
    texts: Mapping[str, str] | None = None,
) -> Result:
    """Check the files by what the options say; ``texts`` stand in place of what some of them hold."""
    named = chosen_rulebook(session, rulebook) if rulebook else ""
    if named is None:
        library = session.library
        found = [*library.findings, *session.troubles, *session.misconfigured]
        documents = {**library.documents, **session.configuration_documents}
        return Result(found, documents=documents, files=[rulebook])
    given = [(name, texts[name].encode() if texts and name in texts else source) for name, source in sources(files)]
    with collector_off(for_good=True):
        result = session.examine(given, Settings(year, named), allow=allow, tell=tell, share=share)
    if year:
        know_year(result, year)
    return result


def _annotated(form: str) -> bool:
    """Tell whether the call runs where lines of a certain form become annotations, and prints for people."""
    return form == TEXT and os.environ.get("GITHUB_ACTIONS") == "true"


def _tell_what_is_empty(session: Session, paths: tuple[str, ...], files: list[Path]) -> None:
    """Say which folders hold nothing to check: that must not look like success."""
    for path in paths:
        folder = Path(path).resolve()
        if is_folder(folder) and not any(file.resolve().is_relative_to(folder) for file in files):
            what = "no YAML file whose first key is plan: or rulebook:"
            if found := find([folder]):
                by = listed(dict.fromkeys(session.configurations.of(file).name for file in found))
                what = f"{counted(len(found), 'file')} that {by} leaves out"
            say(f"lampwright: there is nothing to check in {path}: it holds {what}")
