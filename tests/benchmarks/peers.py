"""Times whole runs of the program beside peers on the same files, all in one run, and prints the ratios.

    PYTHONPATH=tests python -m benchmarks.peers [SIGNALS ...]

Installs the program and its peers first, into a folder that goes away: yamllint (style of YAML only) and
check-jsonschema (schema only) from PyPI, ajv-cli (schema only) from npm where node is there. The program runs all its
checks. Sizes are numbers of signals, 30, 1000 and 10000 if none are given; yamllint is left out above. Then come a
folder of 200 files, and beside plans that are right the same with boards, and with some 2,000 findings.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import time
import venv
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from benchmarks.generate import plan
from lampwright.edits.notation import entry
from lampwright.schema.bundle import bundled

if TYPE_CHECKING:
    from benchmarks.generate import Values

ROOT: Final = Path(__file__).parents[2]
SIZES: Final = (30, 1_000, 10_000)
FILES: Final = 200
ROUNDS: Final = {30: 9, 1_000: 3}
QUICK: Final = "python -c pass"
SLOW: Final = "yamllint"


@dataclass(frozen=True)
class Cost:
    """What one run took: seconds by the clock, and MiB at most, which are never fewer than this process has itself."""

    seconds: float
    mib: float

    def __str__(self) -> str:
        """Return it as the table has it."""
        return f"{self.seconds * 1000:>9.0f}{self.mib:>7.0f}"


def measured(commands: dict[str, list[str]], rounds: int) -> dict[str, Cost]:
    """Return the least that each command took, from start to end, taking turns; what they say goes nowhere."""
    costs = {name: [_once(command)] for name, command in commands.items()}
    for _ in range(rounds - 1):
        for name, command in commands.items():
            costs[name].append(_once(command))
    return {
        name: Cost(min(cost.seconds for cost in each), max(cost.mib for cost in each)) for name, each in costs.items()
    }


def _once(command: list[str]) -> Cost:
    """Run a command once."""
    start = time.perf_counter()
    process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    seconds = time.perf_counter() - start
    if process.returncode not in {0, 1}:
        raise SystemExit(f"{' '.join(command)[:200]} ended with {process.returncode}")
    return Cost(seconds, usage.ru_maxrss / 1024)


def written(file: Path, values: Values) -> Path:
    """Write a plan as a modeller would, in lines."""
    file.write_text("".join(f"{entry(key, value, '', chr(10))}\n" for key, value in values.items()))
    return file


def installed(folder: Path) -> dict[str, list[str]]:
    """Install the program and its peers; return their commands, to which files are added. The program comes first."""
    tree = shutil.copytree(ROOT, folder / "tree", ignore=shutil.ignore_patterns(".*", "tests", "build", "*.egg-info"))
    programs = _with_programs(folder / "peers", ["yamllint", "check-jsonschema"])
    own = _with_programs(folder / "own", [str(tree)])
    schema = folder / "plan.schema.json"
    schema.write_text(json.dumps(bundled("plan")))
    relaxed = "{extends: relaxed, rules: {line-length: disable}}"
    commands = {
        "lampwright": [str(own / "lampwright"), "check"],
        "check-jsonschema": [str(programs / "check-jsonschema"), "--schemafile", str(schema)],
        SLOW: [str(programs / "yamllint"), "-d", relaxed],
    }
    if npm := shutil.which("npm"):
        subprocess.run([npm, "install", "--silent", "--prefix", folder, "ajv-cli@5"], check=True)
        command = str(folder / "node_modules/.bin/ajv")
        commands["ajv-cli"] = [command, "validate", "--spec=draft2020", "--strict=false", "-s", str(schema)]
    return commands


def _with_programs(folder: Path, packages: list[str]) -> Path:
    """Install packages into an environment of their own, as users do; return where its programs are."""
    venv.create(folder, with_pip=True)
    programs = folder / "bin"
    subprocess.run([programs / "pip", "install", "-qq", *packages], check=True)
    return programs


def _with(command: list[str], files: list[Path]) -> list[str]:
    """Return the command for files, as each program wants them named."""
    if "ajv" in command[0]:
        return [*command, *(word for file in files for word in ("-d", str(file)))]
    return [*command, *map(str, files)]


def compare(case: str, commands: dict[str, list[str]], rounds: int = 1) -> None:
    """Run commands, and print a line for each but the first: what the first took, what it took, and the ratio."""
    mine, *others = measured(commands, rounds).items()
    for name, theirs in others:
        ratio = mine[1].seconds / theirs.seconds
        sys.stdout.write(f"{case:<16}{name:<18}{mine[1]}{theirs}{ratio:>8.2f}\n")
        sys.stdout.flush()


def sized(folder: Path, commands: dict[str, list[str]], sizes: list[int]) -> None:
    """Compare with the peers: files of several sizes, and many small ones."""
    for signals in sizes:
        file = written(folder / f"plan-{signals}.yaml", plan(signals))
        able = {name: command for name, command in commands.items() if signals <= SIZES[-1] or name != SLOW}
        compare(
            f"{signals:,} signals",
            {name: _with(command, [file]) for name, command in able.items()},
            ROUNDS.get(signals, 1),
        )
    small = folder / "small"
    small.mkdir()
    files = [written(small / f"plan-{number}.yaml", plan(30)) for number in range(FILES)]
    compare(f"{FILES} files", {name: _with(command, files) for name, command in commands.items()}, 2)


RIGHT: Final = {"lamps": ["green", "yellow", "red"], "installed": 1975}
WRONG: Final = {"lamps": ["red", "yellow", "green"], "installed": 1985}
"""Two slips: lamps upside down, and fitted after the plan's year."""


def saying(values: Values, more: Values) -> Values:
    """Let each signal that has routes say more."""
    signals = values["signals"]
    for name in [name for name, signal in signals.items() if "routes" in signal]:
        signals[name] |= more
    return values


def beside(folder: Path, command: list[str]) -> None:
    """Compare a plan of a thousand signals with one on boards, and one that is wrong with the same that is right."""
    usual = written(folder / "usual.yaml", plan(1_000))
    wired = written(folder / "wired.yaml", plan(1_000, wired=True))
    right = written(folder / "right.yaml", saying(plan(1_000), RIGHT))
    wrong = written(folder / "wrong.yaml", saying(plan(1_000), WRONG))
    compare("with boards", {"wired": [*command, str(wired)], "without": [*command, str(usual)]}, 3)
    compare("some 2,000", {"findings": [*command, str(wrong)], "none": [*command, str(right)]}, 3)


def main(words: list[str]) -> None:
    """Print a line for each case and peer."""
    sizes = [int(word) for word in words] or list(SIZES)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        commands = installed(folder)
        python = str(Path(commands["lampwright"][0]).parent / "python")
        sys.stdout.write(f"{os.cpu_count()} cores; ms and MiB of ours and theirs, ratio of times\n")
        sys.stdout.write(f"{'':<16}{'':<18}{'ours':>9}{'MiB':>7}{'theirs':>9}{'MiB':>7}{'ratio':>8}\n")
        compare("start-up", {"ours": [*commands["lampwright"], "--help"], QUICK: [python, "-c", "pass"]}, 9)
        sized(folder, commands, sizes)
        beside(folder, commands["lampwright"])


if __name__ == "__main__":
    main(sys.argv[1:])
