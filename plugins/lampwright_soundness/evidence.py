"""Sources: every datum has one, every one is cited, and the one behind all others claims little."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from lampwright.checks import RULEBOOK, Check
from lampwright.findings import Basis, Level
from lampwright.rulebooks.reliance import data
from lampwright.rulebooks.sources import cited, named
from lampwright.words import counted, listed, nearest
from lampwright_soundness.statements import Statement, statements, unknown_step, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from lampwright.findings import Finding, Path
    from lampwright.rulebooks import Rulebook


class UnsourcedDatum(Check):
    """Finds data that name no source, neither themselves nor by anything they are part of.

    A datum is as good as its source, and a finding as good as the weakest datum in it. What rests on memory says so:
    `source: memory` needs no entry among the sources. The nearest `source`, or `source-of` with the path of the datum,
    counts.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        sources: {card: {title: a card for drivers, basis: secondary}}
        aspects:
          danger: {says: {authority: stop}, source: card}
          clear: {says: {authority: proceed}}              # expect: unsourced-datum "aspects clear: says.authority"
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            source: card

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        sources: {card: {title: a card for drivers, basis: secondary}}
        aspects:
          danger: {says: {authority: stop}, source: card}
          clear: {says: {authority: proceed}}
        forms:
          two-aspect:
            lamps: {green: green, red: red}
            shows: {danger: red, clear: green}
            source: card

    Limits: whether a source says what is said it says is for people to find out.
    """

    name = "unsourced-datum"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Collect the data without a source, thing by thing."""
        things: dict[Path, list[str]] = {}
        for path in data(subject):
            if not named(subject, path):
                things.setdefault(path[:2], []).append(".".join(map(str, path[2:])))
        for path, below in things.items():
            said = listed(filter(None, below))
            verb = "have" if len(below) > 1 else "has"
            message = f"{' '.join(map(str, path))}{f': {said}' if said else ''} {verb} no source"
            yield self.finding(message, subject.spot(*path, on_key=True), tip="name one, or write source: memory")


class UncitedSource(Check):
    """Finds a source in the list that no datum cites.

    Either a datum lacks its source, or the source was left behind when its data went.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        sources:
          card: {title: a card for drivers, basis: secondary}      # expect: uncited-source "card"
        aspects: {danger: {says: {authority: stop}}}
        forms: {one: {lamps: {red: red}, shows: {danger: red}}}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        sources:
          card: {title: a card for drivers, basis: secondary}
        aspects: {danger: {says: {authority: stop}, source: card}}
        forms: {one: {lamps: {red: red}, shows: {danger: red}}}

    Limits: one that a `note` names counts as cited. Sources of the rulebook that this one is `like` are that one's
    concern.
    """

    name = "uncited-source"
    level = Level.WARNING
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Compare the list with everything that is cited."""
        used = {name for statement in statements(subject.values) for name in statement.names} | words(subject.values)
        for name in subject.sources:
            spot = subject.spot("sources", name, on_key=True)
            if name not in used and spot.file == subject.file:
                yield self.finding(f"no datum cites the source {name}", spot)


class VerifiedByDefault(Check):
    """Finds a rulebook whose outermost source is a verified one.

    What names no source of its own has the outermost. If that one is `verified`, everything that was typed without a
    thought passes for read in the issuer's own publication. Let it be the weakest: memory, or a secondary source that
    the whole page was taken from.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        sources: {book: {title: rule book, publisher: the railway, basis: verified}}
        source: book                               # expect: verified-by-default "rest on book alone"
        aspects: {danger: {says: {authority: stop}}}
        forms: {one: {lamps: {red: red}, shows: {danger: red}}}

    Right:

        rulebook: 1
        id: toy
        title: A toy
        sources: {book: {title: rule book, publisher: the railway, basis: verified}}
        source: memory
        aspects: {danger: {says: {authority: stop}, source: book art. 1}}
        forms: {one: {lamps: {red: red}, shows: {danger: red}}}

    Limits: a verified source of a section, or of a form with all its lamps, is not asked whether it says all that.
    """

    name = "verified-by-default"
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Look at the outermost source."""
        outermost = subject.evidence.source
        if any(cited(subject, name).basis is Basis.VERIFIED for name in outermost):
            resting = sum(named(subject, path) == outermost for path in data(subject))
            message = f"{counted(resting, 'datum').replace('datums', 'data')} rest on {listed(outermost)} alone"
            tip = "name it where it was read, and let the outermost source be the weakest"
            yield self.finding(
                f"{message}, which is verified, for want of a nearer source", subject.spot("source"), tip=tip
            )


class DeadPath(Check):
    """Finds a path in `source-of` or `disputed` that leads to no datum.

    Such an entry does nothing: the datum it was meant for keeps the source of what is around it, which may be a better
    one than it deserves.

    Wrong:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        sources: {card: {title: a card for drivers, basis: secondary}}
        aspects: {danger: {says: {authority: stop}}}
        forms:
          one:
            lamps: {red: red}
            shows: {danger: red}
            source-of: {lamp.red: card}            # expect: dead-path "lamp.red"

    Right:

        rulebook: 1
        id: toy
        title: A toy
        source: memory
        sources: {card: {title: a card for drivers, basis: secondary}}
        aspects: {danger: {says: {authority: stop}}}
        forms:
          one:
            lamps: {red: red}
            shows: {danger: red}
            source-of: {lamps.red: card}

    Limits: a key that the format has may be named though nothing is said under it: that no years are known is known
    from somewhere, too. What was copied by `like` is asked where it was written.
    """

    name = "dead-path"
    level = Level.WARNING
    scope = RULEBOOK

    def look(self, subject: Rulebook) -> Iterator[Finding]:
        """Follow every path."""
        for statement in statements(subject.values):
            spot = subject.spot(*statement.path, on_key=True)
            if statement.dotted and spot.path == statement.path and spot.file == subject.file:
                step, known = unknown_step(subject.values, statement)
                if step:
                    yield self._finding(subject, statement, step, known)

    def _finding(self, subject: Rulebook, statement: Statement, step: str, known: list[Any]) -> Finding:
        where = " ".join(map(str, statement.base)) or "the rulebook"
        message = f"{where} has no {statement.dotted}, of which a source is told"
        close = nearest(step, map(str, known))
        tip = f"did you mean {close}?" if close else f"there are {listed(map(str, known))}" if known else ""
        return self.finding(message, subject.spot(*statement.path, on_key=True), tip=tip)
