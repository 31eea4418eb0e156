"""All figures of speed in one run: beside peers, growth by stage, a keystroke in the editor.

    PYTHONPATH=tests python -m benchmarks [SIGNALS ...]

Sizes are those of ``benchmarks.peers``: give 30 1000 10000 100000 for all, which takes some ten minutes.
"""

from __future__ import annotations

import sys

from benchmarks import growth, peers, typing

if __name__ == "__main__":
    peers.main(sys.argv[1:])
    sys.stdout.write("\n")
    growth.main(max((int(word) for word in sys.argv[1:]), default=growth.USUAL))
    sys.stdout.write("\n")
    typing.main()
