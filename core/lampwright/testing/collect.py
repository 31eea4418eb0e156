"""How pytest sees the cases of a rulebook: one test for each of them, one for each example, one for soundness."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pytest

from lampwright.reports import Options
from lampwright.reports.printable import wrapped
from lampwright.reports.text import told
from lampwright.settings.find import shown
from lampwright.testing.bench import Bench, Unfulfilled
from lampwright.testing.cases import Case
from lampwright.testing.touched import untouched

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

BENCHES = pytest.StashKey[list[Bench]]()
KINDS = ("reads", "follows", "means", "forms", "indicators", "plans")


class CasesFile(pytest.File):
    """The file ``cases.yaml`` of a rulebook, which stands for all that is asked of it."""

    def collect(self) -> Iterator[pytest.Item]:
        """Yield the tests of the rulebook."""
        bench = Bench(self.path.parent, shown(self.path.parent))
        self.config.stash.setdefault(BENCHES, []).append(bench)
        try:
            document = bench.cases(self.path.name)
        except Unfulfilled as error:
            raise self.CollectError(text_of(error)) from None
        yield Test.made(self, "soundness", bench.sound)
        for example in bench.examples:
            yield Test.made(self, f"example {example.stem}", partial(bench.silent, example))
        for kind in KINDS:
            for number in range(len(document.values.get(kind) or ())):
                case = Case(bench, document, kind, number)
                yield Test.made(self, f"{kind} {number + 1}: {case}", case.run, case.line)


class Test(pytest.Item):
    """One thing that must be as it is said to be."""

    __test__ = False
    ask: Callable[[], None]
    line: int

    @classmethod
    def made(cls, parent: CasesFile, name: str, ask: Callable[[], None], line: int = 1) -> Test:
        """Return a test that asks; ``line`` is where what is asked stands."""
        test: Test = cls.from_parent(parent, name=name)
        test.ask, test.line = ask, line
        return test

    def runtest(self) -> None:
        """Ask."""
        self.ask()

    def repr_failure(self, excinfo: pytest.ExceptionInfo[BaseException], style: Any = None) -> Any:
        """Return findings as a report has them."""
        if isinstance(excinfo.value, Unfulfilled):
            return text_of(excinfo.value)
        return super().repr_failure(excinfo, style)

    def reportinfo(self) -> tuple[Any, int, str]:
        """Return where the case stands."""
        return self.path, self.line - 1, self.name


def print_untouched(terminal: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print what no example or case of each rulebook touches."""
    for bench in config.stash.get(BENCHES, []):
        if bench.rulebook is None or not (bench.touched.forms or bench.touched.aspects):
            continue
        terminal.section(f"rulebook {bench.rulebook.id}: what examples and cases touch")
        for kind, count, left in untouched(bench.rulebook, bench.touched):
            head = f"{kind}: {count} touched"
            for line in wrapped(f"{head}, and not {', '.join(left)}" if left else head, 100, "  "):
                terminal.line(line)


def text_of(error: Unfulfilled) -> str:
    """Return the findings as text."""
    lines = []
    for finding in error.findings:
        lines += [*told(finding, error.documents, Options()), ""]
    return "\n".join(lines)
