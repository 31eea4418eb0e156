"""The rules of the kernel itself: what is found before, or without, any check. Their manuals are like a check's."""

from __future__ import annotations

from inspect import cleandoc
from typing import Final

from msgspec import Struct

from lampwright.findings import Level


class Rule(Struct, frozen=True):
    """A rule with its manual, whose first line says what it finds."""

    name: str
    manual: str
    level: Level = Level.ERROR


def _rule(name: str, text: str, level: Level = Level.ERROR) -> tuple[str, Rule]:
    return name, Rule(name, cleandoc(text), level)


RULES: Final = dict(
    [
        _rule(
            "unreadable-file",
            """
            Finds a file that cannot be opened.

            It is not there, or its owner lets nobody read it. Nothing in it has been checked.
            """,
        ),
        _rule(
            "not-text",
            """
            Finds a file that is not UTF-8 text.

            It is a picture, an archive or a spreadsheet, was saved in another encoding, or holds a character that
            cannot be seen and that editors treat in different ways. Save it as UTF-8, as every editor can.
            """,
        ),
        _rule(
            "empty-file",
            """
            Finds a file that holds nothing.

            Perhaps an editor or a disk lost it: an empty plan has nothing wrong in it, and that must not look like a
            plan that has been checked.
            """,
        ),
        _rule(
            "bad-yaml",
            """
            Finds a file that is not well-formed YAML.

            A bracket is not closed, a line is indented with a tab or by a step too few, a quote has no partner. The
            place is where the reader could not go on; the slip is there or shortly before.

            Wrong:
                plan: 1
                signals:
                  HF1: {form: three-aspect   # expect: bad-yaml ""

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
            """,
        ),
        _rule(
            "unsupported-yaml",
            """
            Finds a part of YAML that is not read here.

            Anchors, aliases, merge keys, tags and several documents in one file are left out: they let a small file
            grow without bounds, and `like` says the same in the plan's own words.

            Wrong:
                plan: 1
                signals:
                  HF1: &main {form: three-aspect}  # expect: unsupported-yaml "anchor"

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
                  HF2: {like: HF1}
            """,
        ),
        _rule(
            "duplicate-key",
            """
            Finds a name that stands twice in one map.

            Most programs let the second one win without a word, and the signal written first is gone.

            Wrong:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
                  HF1: {form: four-aspect}  # expect: duplicate-key "HF1"

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
                  HF2: {form: four-aspect}
            """,
        ),
        _rule(
            "bad-toml",
            """
            Finds a configuration file that is not well-formed TOML.

            Nothing in it holds until it is mended: no level, no rulebook, no pattern. A quote has no partner, a key
            stands there twice, or a text has no quotes at all.
            """,
        ),
        _rule(
            "bad-setting",
            """
            Finds a setting that leads nowhere.

            The configuration gives a level to a rule that nobody brings, or names a folder that holds no rulebook, or
            would switch off what says that a file has not been checked at all. `lampwright config` shows what holds.
            """,
        ),
        _rule(
            "over-limit",
            """
            Finds a file that asks more of the reader than any plan would.

            It is very large, nested very deeply, or holds one very long text. The limits are far above what a large
            layout needs; they keep a broken or malicious file from filling the memory.
            """,
        ),
        _rule(
            "unknown-kind",
            """
            Finds a file that is neither a plan nor a rulebook.

            The first key tells: `plan: 1` or `rulebook: 1`.

            Wrong:
                signals:  # expect: unknown-kind "neither a plan nor a rulebook"
                  HF1: {form: three-aspect}

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
            """,
        ),
        _rule(
            "malformed",
            """
            Finds a key or value that is not what the format has in its place.

            A key is misspelt or stands one level too high or too low, a list stands where one word should, a quantity
            lacks its unit. What the file says otherwise is not checked until this is mended.

            Wrong:
                plan: 1
                signals:
                  HF1: {frm: three-aspect}  # expect: malformed "frm"

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
            """,
        ),
        _rule(
            "unknown-name",
            """
            Finds a name in a rulebook, or in a form that a plan defines, that leads nowhere.

            A lamp in a display, an aspect in the order of restriction, a source, the rulebook it is like: every name
            must be defined. The rulebook is not used until this is mended.
            """,
        ),
        _rule(
            "unfulfilled-case",
            """
            Finds a case of a rulebook that does not come out as it is written.

            A file `cases.yaml` beside a `rulebook.yaml` says what the rulebook must give: how a display reads, what
            must stand before a signal, what is found in a plan. pytest runs it. Either the rulebook
            differs from the book it is taken from, or the case does: the page that the case names decides.
            """,
        ),
        _rule(
            "bad-allowance",
            """
            Finds a comment to Lampwright that it does not understand, or that gives no reason.

            `# lampwright: allow[rule-name] reason` behind a line allows what is found in what begins on that line: a
            word, or a whole map, such as a signal. On a line of its own it speaks of what begins on the next line;
            above the first key, of the whole file. Several rules stand in one bracket, with commas. Without a reason
            nothing is allowed: whoever reads the plan in ten years must know why.

            Wrong:
                plan: 1
                signals:
                  # lampwright: allow[malformed]
                  HF1: {form: three-aspect}  # expect: bad-allowance "no reason"
                  HF2: {form: three-aspect}

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
                  HF2: {form: three-aspect}
            """,
            Level.WARNING,
        ),
        _rule(
            "unused-allowance",
            """
            Finds a comment that allows what is not found.

            What it was written for is gone, or it stands at the wrong line. Left where it is, it would hide the next
            finding of that rule. A rule whose check was skipped counts as used.

            Wrong:
                plan: 1
                signals:
                  # lampwright: allow[malformed] the old key is read by something else
                  HF1: {form: three-aspect}  # expect: unused-allowance "malformed"
                  HF2: {form: three-aspect}

            Right:
                plan: 1
                signals:
                  HF1: {form: three-aspect}
                  HF2: {form: three-aspect}
            """,
            Level.WARNING,
        ),
        _rule(
            "failed-plugin",
            """
            Finds a plugin, or something it should have brought, that is missing from the run.

            It could not be imported, is made for another version, raised where it should have answered, or answered
            with something of the wrong kind. The rest of the run went on; but what its checks look for has not been
            looked for, so the run is not clean. `lampwright plugins` shows what was loaded from where. Mend, update
            or remove the plugin, or name the others in the variable LAMPWRIGHT_PLUGINS.
            """,
        ),
        _rule(
            "failed-check",
            """
            Finds a check that could not do its work.

            It raised where it should have looked, or needs another check that no plugin brings. The finding names the
            plugin. All other checks went on, without those that build on this one.
            """,
        ),
    ]
)
