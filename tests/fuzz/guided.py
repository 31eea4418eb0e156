"""One target under atheris: ``python -m fuzz.guided TARGET`` and what libFuzzer takes. Called by ``fuzz.run``."""

from __future__ import annotations

import sys

try:
    import atheris
except ImportError:
    sys.exit("atheris is not there: pip install -e '.[test,fuzz]' (CPython 3.11 to 3.13 on Linux)")

with atheris.instrument_imports(include=["lampwright", "lampwright_working", "lampwright_signals"]):
    from fuzz.targets import TARGETS

if __name__ == "__main__":
    _, target = TARGETS[sys.argv.pop(1)]
    atheris.Setup(sys.argv, target)
    atheris.Fuzz()
