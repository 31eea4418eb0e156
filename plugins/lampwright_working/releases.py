"""Approach release: whether the rulebook knows how a signal is released."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lampwright.checks import Check
from lampwright.routes import known_words, release
from lampwright.words import did_you_mean
from lampwright.working.bound import ROUTE
from lampwright_working.asked import nothing_asked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding
    from lampwright.layout import Layout
    from lampwright.working.bound import BoundRoute


class UnknownRelease(Check):
    """Finds an approach release that no rule of the rulebook knows.

    A signal released from red, or from yellow, is held at that until the train is near, so that it is slow enough
    for the turn. How it is released decides what it shows till then, and whether the signals before it flash.

    Wrong:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        signals:
          HF1:
            form: three-aspect
            from: off-stage
            routes: [{to: HF3, release: {from: rde}}]      # expect: unknown-release "from rde"
          HF3: {form: three-aspect}

    Right:

        plan: 1
        rulebook: gb-colour-light
        year: 1985
        signals:
          HF1:
            form: three-aspect
            from: off-stage
            routes: [{to: HF3, release: {from: red}}]
          HF3: {form: three-aspect}

    Limits: the words are those that rules ask for, `red` of `from-red`. A release that does not say from what is let
    pass: then nothing is known of what stands before a train is near.
    """

    name = "unknown-release"
    scope = ROUTE

    def missing(self, whole: Layout) -> str:
        """Ask for a rulebook with a sequence."""
        return nothing_asked(whole)

    def look(self, subject: BoundRoute) -> Iterator[Finding]:
        """Compare the words of the release with those of the rules."""
        book = subject.signal.rulebook
        if book is None:
            return
        held, known = release(subject.entry), known_words(book, "release")
        if not held or held in known:
            return
        words = [name.removeprefix("from-") for name in known]
        word = held.removeprefix("from-")
        yield self.finding(
            f"{subject} is released from {word}, which no rule of {book.id} knows",
            subject.spot("release", "from"),
            tip=did_you_mean(word, words, "the ways to be released"),
        )
