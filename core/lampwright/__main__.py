"""``python -m lampwright``."""

from lampwright.commands import main

main()
