"""Makes fixes, looks again, and takes back what would do harm."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct, field
from msgspec.structs import replace

from lampwright.edits import CannotEdit, edited
from lampwright.mending.choice import fix_of, refusal

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping, Sequence

    from lampwright.documents import Document
    from lampwright.edits import Change
    from lampwright.findings import Finding, Fix, Path, Spot
    from lampwright.project import Result

    Examine = Callable[[Mapping[str, str]], Result]
    """Checks the same files again, with other texts for some."""
    Known = tuple[str, str, str]

ROUNDS = 10
"""How often it is looked again: mending one slip can show the next."""


class Mended(Struct):
    """What came of it: files with their new texts, the fixes made, those refused with the reason, what is left."""

    result: Result
    texts: dict[str, str] = field(default_factory=dict)
    made: list[tuple[Finding, Fix]] = field(default_factory=list)
    refused: list[tuple[Finding, Fix, str]] = field(default_factory=list)


def mend(result: Result, examine: Examine, *, unsafe: bool = False) -> Mended:
    """Mend what can be mended in the files of a run; nothing is written.

    A fix is made only if all that is found afterwards was found before, or was not looked for before.
    """
    mended = Mended(result)
    for _ in range(ROUNDS):
        mended.refused.clear()
        fixes = _chosen(mended, unsafe=unsafe)
        if not fixes or not _made(mended, fixes, examine):
            break
    return mended


def _chosen(mended: Mended, *, unsafe: bool) -> list[tuple[Finding, Fix]]:
    """Return the fixes that may be made; equal ones count once."""
    chosen: dict[tuple[tuple[str, Change], ...], tuple[Finding, Fix]] = {}
    result = mended.result
    for finding in result.findings:
        fix = fix_of(finding, result.documents)
        if fix is None or not all(file in result.files for file, _ in fix.changes):
            continue
        why = refusal(fix, result.documents, unsafe=unsafe)
        if why:
            mended.refused.append((finding, fix, why))
        elif not any(made == fix for _, made in mended.made):
            chosen.setdefault(_key(fix), (finding, fix))
    return list(chosen.values())


def _key(fix: Fix) -> tuple[tuple[str, Change], ...]:
    """Return what tells one fix from another; values of changes may be lists, so they are told by their notation."""
    return tuple((file, replace(change, value=repr(change.value))) for file, change in fix.changes)


def _made(mended: Mended, fixes: Sequence[tuple[Finding, Fix]], examine: Examine) -> bool:
    """Make fixes, all at once if that does no harm, else those that do none by themselves; tell whether any was."""
    if _try(mended, fixes, examine):
        return True
    if len(fixes) == 1:
        mended.refused.append((*fixes[0], "more would be wrong than before"))
        return False
    half = len(fixes) // 2
    first = _made(mended, fixes[:half], examine)
    return first or _made(mended, fixes[half:], examine)


def _try(mended: Mended, fixes: Sequence[tuple[Finding, Fix]], examine: Examine) -> bool:
    """Make fixes together, and look whether they do harm."""
    before = mended.result
    texts = _texts(before.documents, [fix for _, fix in fixes])
    if texts is None:
        return False
    after = examine({**mended.texts, **texts})
    if _harm(before, after):
        return False
    mended.result = after
    mended.texts |= texts
    mended.made += fixes
    return True


def _texts(documents: Mapping[str, Document], fixes: Sequence[Fix]) -> dict[str, str] | None:
    """Return the files with fixes made; None if these are in each other's way."""
    by_file: dict[str, list[Change]] = {}
    for fix in fixes:
        for file, change in fix.changes:
            by_file.setdefault(file, []).append(change)
    try:
        return {file: edited(documents[file], changes) for file, changes in by_file.items()}
    except CannotEdit:
        return None


def _harm(before: Result, after: Result) -> bool:
    """Tell whether something is found that was not, though it had been looked for; or nothing has become better."""
    known = {_known(finding) for finding in before.findings}
    fresh = [finding for finding in after.findings if _known(finding) not in known]
    unread = {finding.spot.file for finding in before.findings if finding.rule in UNREAD}
    skipped = {(skip.check, skip.file) for skip in before.skips}
    partly = {(skip.file, skip.path) for skip in before.skips if skip.path}
    unseen = [
        one
        for one in fresh
        if one.spot.file in unread or (one.rule, one.spot.file) in skipped or _within(one.spot, partly)
    ]
    gone = len(known - {_known(finding) for finding in after.findings})
    return len(unseen) < len(fresh) or not gone


def _within(spot: Spot, subjects: Collection[tuple[str, Path]]) -> bool:
    """Tell whether a place lies in one of the subjects, by file and path."""
    return any((spot.file, spot.path[:length]) in subjects for length in range(1, len(spot.path) + 1))


def _known(finding: Finding) -> Known:
    """Return what a finding is known by, wherever it stands."""
    return finding.rule, finding.spot.file, finding.message


UNREAD = frozenset({"malformed", "bad-yaml", "unknown-name", "unknown-kind", "duplicate-key"})
"""Rules that keep a file from being checked at all."""
