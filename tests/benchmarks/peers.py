"""Times whole runs of the program beside peers on the same files, all in one run, and prints the ratios.

    PYTHONPATH=tests python -m benchmarks.peers [SIGNALS ...]

Installs the peers first, into a folder that goes away: yamllint (style of YAML only) and check-jsonschema (schema only)
from PyPI, ajv-cli (schema only) from npm where node is there. The program runs all its checks. Sizes are numbers of
signals, 30, 1000 and 10000 if none are given; at 30 there is also a folder of 200 files.
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
from typing import Final

from benchmarks.generate import plan
from lampwright.edits.notation import entry
from lampwright.schema.bundle import bundled

SIZES: Final = (30, 1_000, 10_000)
FILES: Final = 200
ROUNDS: Final = {30: 7, 1_000: 3}
QUICK: Final = "python -c pass"


@dataclass(frozen=True)
class Cost:
    """What one run took: seconds by the clock, and MiB at most."""

    seconds: float
    mib: float

    def __str__(self) -> str:
        """Return it as the table has it."""
        return f"{self.seconds * 1000:>9.0f}{self.mib:>7.0f}"


def measured(command: list[str], rounds: int) -> Cost:
    """Return the least that a command took, from start to end; what it says goes nowhere."""
    costs = [_once(command) for _ in range(rounds)]
    return Cost(min(cost.seconds for cost in costs), max(cost.mib for cost in costs))


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


def written(folder: Path, signals: int) -> Path:
    """Write a plan of a size as a modeller would, in lines."""
    path = folder / f"plan-{signals}.yaml"
    path.write_text("".join(f"{entry(key, value, '', chr(10))}\n" for key, value in plan(signals).items()))
    return path


def peers(folder: Path) -> dict[str, list[str]]:
    """Install the peers; return their commands, to which files are added."""
    venv.create(folder / "peers", with_pip=True)
    programs = folder / "peers" / "bin"
    subprocess.run([programs / "pip", "install", "-qq", "yamllint", "check-jsonschema"], check=True)
    schema = folder / "plan.schema.json"
    schema.write_text(json.dumps(bundled("plan")))
    relaxed = "{extends: relaxed, rules: {line-length: disable}}"
    commands = {
        "yamllint": [str(programs / "yamllint"), "-d", relaxed],
        "check-jsonschema": [str(programs / "check-jsonschema"), "--schemafile", str(schema)],
    }
    if npm := shutil.which("npm"):
        subprocess.run([npm, "install", "--silent", "--prefix", folder, "ajv-cli@5"], check=True)
        ajv = [
            str(folder / "node_modules/.bin/ajv"),
            "validate",
            "--spec=draft2020",
            "--strict=false",
            "-s",
            str(schema),
        ]
        commands["ajv-cli"] = ajv
    return commands


def cases(folder: Path, sizes: list[int]) -> list[tuple[str, list[Path], int]]:
    """Write the files; return what each case is called, its files, and how often it is run."""
    found = [(f"{size:,} signals", [written(folder, size)], ROUNDS.get(size, 1)) for size in sizes]
    small = folder / "small"
    small.mkdir()
    text = written(folder, SIZES[0]).read_text()
    for number in range(FILES):
        (small / f"plan-{number}.yaml").write_text(text)
    return [*found, (f"{FILES} files", sorted(small.iterdir()), 1)]


def _with(command: list[str], files: list[Path]) -> list[str]:
    """Return the command for files, as each program wants them named."""
    if "ajv" in command[0]:
        return [*command, *(word for file in files for word in ("-d", str(file)))]
    return [*command, *map(str, files)]


def main() -> None:
    """Print a line for each case and peer."""
    sizes = [int(word) for word in sys.argv[1:]] or list(SIZES)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        known = peers(folder)
        ours = [sys.executable, "-m", "lampwright", "check"]
        sys.stdout.write(f"{os.cpu_count()} cores; ms and MiB of ours and theirs, ratio of times\n")
        sys.stdout.write(f"{'':<16}{'':<18}{'ours':>9}{'MiB':>7}{'theirs':>9}{'MiB':>7}{'ratio':>8}\n")
        _line("start-up", QUICK, measured([*ours, "--help"], 9), measured([sys.executable, "-c", "pass"], 9))
        for case, files, rounds in cases(folder, sizes):
            mine = measured(_with(ours, files), rounds)
            for peer, command in known.items():
                _line(case, peer, mine, measured(_with(command, files), rounds))


def _line(case: str, peer: str, mine: Cost, theirs: Cost) -> None:
    """Print one line as soon as it is known."""
    sys.stdout.write(f"{case:<16}{peer:<18}{mine}{theirs}{mine.seconds / theirs.seconds:>8.2f}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    main()
