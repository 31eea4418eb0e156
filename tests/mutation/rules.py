"""Slips in our own rules: every module that holds checks is changed in one place at a time, and its tests are run.

``PYTHONPATH=tests python -m mutation.rules [FILE|FOLDER ...]`` prints by module, by package and of all how many
changes were found, and names those that were not. Without a word it takes every module that holds checks.
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Final

from mutation.rules_tried import FOUND, SURVIVED, TIMED_OUT, tried

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from mutation.rules_made import Mutant

ROOT: Final = Path(__file__).parents[2]
SAME: Final = Path(__file__).with_name("rules_same.toml")
ALWAYS: Final = ("tests/plugins/test_manuals*.py", "tests/plugins/test_asked_for.py", "tests/plugins/test_one_slip.py")
TESTS: Final = {
    "lampwright_signals": ("tests/plugins/test_signals_[!a]*.py", "tests/standards/test_*_facts.py", "tests/rulesets"),
    "lampwright_soundness": ("tests/plugins/test_soundness_*.py", "tests/standards/test_[a-z][a-z]_*.py",
                             "tests/rulesets"),
    "lampwright_working": ("tests/plugins/test_working_*.py", "tests/standards/test_*distances.py",
                           "tests/standards/test_exclusions.py", "tests/standards/test_flank.py", "tests/rulesets"),
    "lampwright_wiring": ("tests/plugins/test_wiring_[cimop]*.py", "tests/standards/test_electrics_*.py"),
    "lampwright_proving": ("tests/plugins/test_proving_[fk]*.py", "tests/standards/test_lost_lamps.py"),
    "lampwright": ("tests/core/working/test_[!p]*.py", "tests/plugins/test_working_*.py", "tests/standards",
                   "tests/rulesets"),
}  # fmt: skip
LONGEST: Final = 0.15
"""Seconds that a test may take, as traced: a mutant that lives is seen by all of them."""


@dataclass
class Score:
    """What came of the mutants of one module."""

    path: Path
    outcomes: Counter[int] = field(default_factory=Counter)
    survivors: list[Mutant] = field(default_factory=list)
    same: set[tuple[str, ...]] = field(default_factory=set)

    def count(self, mutant: Mutant, outcome: int, same: frozenset[tuple[str, ...]]) -> None:
        """Take a mutant in."""
        if outcome == SURVIVED and mutant.key in same:
            self.same.add(mutant.key)
            return
        self.outcomes[outcome] += 1
        if outcome == SURVIVED:
            self.survivors.append(mutant)

    def row(self) -> str:
        """Return the figures as a line."""
        return row(str(self.path.relative_to(ROOT)), self.outcomes, len(self.same))


def row(name: str, outcomes: Counter[int], same: int) -> str:
    """Return figures as a line."""
    made = outcomes.total()
    found = outcomes[FOUND] + outcomes[TIMED_OUT]
    share = f"{100 * found / made:.1f} %" if made else "-"
    numbers = (made, outcomes[FOUND], outcomes[SURVIVED], outcomes[TIMED_OUT], same)
    return f"{name:<52}" + "".join(f"{number:>9}" for number in numbers) + f"{share:>9}"


def totals(scores: Sequence[Score]) -> Iterator[str]:
    """Yield a line for each package, and one for all."""
    names = list(dict.fromkeys(package(score.path) for score in scores))
    for name in [*names, "all"] if len(names) > 1 else names:
        theirs = [score for score in scores if name in (package(score.path), "all")]
        outcomes = sum((score.outcomes for score in theirs), Counter[int]())
        yield row(name, outcomes, sum(len(score.same) for score in theirs))


def with_checks() -> list[Path]:
    """Return the modules that hold checks; some are of a kind that a plugin makes of ``Check``, as ElectricalCheck."""
    files = (ROOT / "plugins").rglob("*.py")
    return sorted(path for path in files if "Check):" in path.read_text(encoding="utf-8"))


def asked(words: Sequence[str]) -> list[Path]:
    """Return the modules that are meant by files and folders."""
    paths = [Path(word).resolve() for word in words]
    return [file for path in paths for file in (sorted(path.rglob("*.py")) if path.is_dir() else [path])]


def package(path: Path) -> str:
    """Return the package that a module belongs to."""
    return path.relative_to(ROOT).parts[1]


def tests_of(name: str) -> list[str]:
    """Return the files whose tests try a package's mutants."""
    found = (str(path) for word in (*ALWAYS, *TESTS.get(name, ())) for path in sorted(ROOT.glob(word)))
    return list(dict.fromkeys(found))


def same_as_before() -> frozenset[tuple[str, ...]]:
    """Return the mutants that are known to mean the same as the original."""
    said = tomllib.loads(SAME.read_text(encoding="utf-8")).items()
    return frozenset((*place.partition(" ")[::2], one["old"], one["new"]) for place, rows in said for one in rows)


def scored(paths: Sequence[Path]) -> Iterator[Score]:
    """Yield what comes of each module, a package at a time."""
    same = same_as_before()
    for name in dict.fromkeys(package(path) for path in paths):
        theirs = {path: Score(path) for path in paths if package(path) == name}
        for mutant, outcome in tried(list(theirs), tests_of(name), LONGEST):
            theirs[mutant.path].count(mutant, outcome, same)
        yield from theirs.values()


def report(scores: Iterable[Score]) -> Iterator[str]:
    """Yield the lines of the table and of the survivors."""
    heads = ("mutants", "found", "survived", "time up", "same", "score")
    yield f"{'module':<52}" + "".join(f"{head:>9}" for head in heads)
    done = []
    for score in scores:
        done.append(score)
        yield score.row()
    yield ""
    yield from totals(done)
    yield f"\nnot found: {sum(len(score.survivors) for score in done)}"
    for score in done:
        for mutant in score.survivors:
            yield f"  {score.path.relative_to(ROOT)}:{mutant.line} {mutant.function}"
            yield f"    {mutant.old}\n    {mutant.new}"
    names = {f"{score.path.parent.name}/{score.path.name}" for score in done}
    stale = {key for key in same_as_before() if key[0] in names} - {key for score in done for key in score.same}
    yield from (f"no mutant that lives, in {SAME.name}: {' '.join(key)}" for key in sorted(stale))


def main() -> int:
    """Print it all."""
    for line in report(scored(asked(sys.argv[1:]) or with_checks())):
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
