"""What was checked, against what, and what was not: the last line of a report."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lampwright.findings import Level
from lampwright.words import counted, listed

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.checks import Skip
    from lampwright.findings import Path
    from lampwright.project import Result

MOST: Final = 4
"""Reasons for skipping that are spelt out."""


class Summary(Struct, frozen=True):
    """The counts of one run; ``against`` holds rulebooks with the years they were asked about, as written.

    ``compressed`` are how much shorter than to scale plans say they are: ``1:4``.
    """

    levels: dict[Level, int]
    against: tuple[tuple[str, str], ...]
    compressed: tuple[str, ...]
    checks: int
    plans: int
    rulebooks: int
    signals: int
    routes: int

    @classmethod
    def of(cls, result: Result) -> Summary:
        """Count what a run found and looked at."""
        levels = dict.fromkeys((Level.ERROR, Level.WARNING, Level.NOTE), 0)
        for finding in (*result.findings, *result.unshown):
            levels[finding.level] += 1
        signals = [signal for layout in result.layouts for signal in layout.plan.signals.values()]
        against = {(layout.rulebook_name, layout.year_text): None for layout in result.layouts if layout.rulebook_name}
        return cls(
            levels,
            tuple(against),
            tuple(dict.fromkeys(_compressed(result))),
            result.checks,
            len(result.layouts),
            len(result.rulebooks),
            len(signals),
            sum(len(signal.routes) for signal in signals),
        )


def sentence(result: Result) -> str:
    """Return the summary as it ends a report in text."""
    summary = Summary.of(result)
    counts = [counted(number, str(level)) for level, number in summary.levels.items() if number]
    found = f"{', '.join(counts) or 'No findings'}{_besides(result)}."
    if not summary.plans and not summary.rulebooks:
        return f"{found} Nothing could be checked."
    lengths = f"lengths compressed {listed(summary.compressed)}" if summary.compressed else ""
    parts = [listed(_against(summary)), lengths, f"{counted(summary.checks, 'check')} over {_over(summary)}"]
    return f"{found} {'; '.join([*filter(None, parts), *_skipped(result.skips)])}."


def _besides(result: Result) -> str:
    """Say how many findings are not shown, and why."""
    hidden = [
        f"{result.allowed:,} allowed by comments" if result.allowed else "",
        f"{result.known:,} agreed on in the baseline" if result.known else "",
        f"{result.off:,} switched off by the configuration" if result.off else "",
    ]
    return "".join(f", {part}" for part in hidden if part)


def subject(path: Path) -> str:
    """Return what a check was skipped for: a signal by its name, anything else by its path, all as an empty text."""
    if path[:1] == ("signals",) and len(path) > 1:
        path = path[1:]
    return ".".join(map(str, path))


def _compressed(result: Result) -> Iterator[str]:
    """Yield how much shorter than to scale the layouts are, where their plans say it."""
    for layout in result.layouts:
        if (said := layout.plan.values.get("compression")) is not None:
            from lampwright.working.measures import compression, plainly  # only such a plan pays for it

            times = compression(said)
            yield f"1:{plainly(times)}" if times else str(said)


def _against(summary: Summary) -> Iterator[str]:
    """Yield each rulebook with its years."""
    years: dict[str, list[str]] = {}
    for rulebook, year in summary.against:
        years.setdefault(rulebook, []).extend([year] if year else [])
    for rulebook, named in years.items():
        yield f"{rulebook} in {listed(named)}" if named else rulebook


def _over(summary: Summary) -> str:
    """Say what was looked at."""
    looked = []
    if summary.plans:
        looked = [counted(summary.signals, "signal"), counted(summary.routes, "route")]
    if summary.rulebooks:
        looked.append(counted(summary.rulebooks, "rulebook"))
    return listed(looked) + (f" in {summary.plans:,} plans" if summary.plans > 1 else "")


def _skipped(skips: list[Skip]) -> list[str]:
    """Say how many checks were skipped, for whom and why; the rarer reasons are counted."""
    groups: dict[tuple[str, str], set[str]] = {}
    for skip in skips:
        groups.setdefault((subject(skip.path), skip.reason), set()).add(skip.check)
    groups = _gathered(groups)
    said = [_skip(len(checks), about, reason) for (about, reason), checks in groups.items()]
    if len(said) > MOST:
        said = [*said[:MOST], f"and {len(said) - MOST:,} more such groups"]
    return [", ".join(said)] if said else []


def _gathered(groups: dict[tuple[str, str], set[str]]) -> dict[tuple[str, str], set[str]]:
    """Put together all that plans do not give, what most checks lack first: ``no boards, track or 7 more given``."""
    lacking = {why: checks for (about, why), checks in groups.items() if not about and _not_given(why)}
    if not lacking:
        return groups
    missed = sorted(lacking, key=lambda why: (-len(lacking[why]), why))
    things = [reason.removeprefix("no ").removesuffix(" given") for reason in missed]
    if len(things) > MOST:
        things = [*things[:MOST], f"{len(things) - MOST:,} more"]
    others = {key: checks for key, checks in groups.items() if key[0] or key[1] not in lacking}
    return {**others, ("", f"no {listed(things, 'or')} given"): set().union(*lacking.values())}


def _not_given(reason: str) -> bool:
    """Tell whether a reason is that plans do not give something."""
    return reason.startswith("no ") and reason.endswith(" given")


def _skip(number: int, about: str, reason: str) -> str:
    """Say how many checks were skipped for one reason."""
    return f"{counted(number, 'check')} skipped{f' for {about}' if about else ''} ({reason})"
