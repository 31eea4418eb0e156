"""The parser's complaints in plain words: what is wrong, where, and what would have been right."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any, Final

from msgspec.structs import replace

from lampwright.documents.faults import Slip, shown
from lampwright.documents.trouble import Trouble

if TYPE_CHECKING:
    from collections.abc import Callable

QUOTES: Final = "where it is text, put it in quotes"
SPACE: Final = "write one, or put the whole text in quotes"
NO_SPACE: Final = re.compile(r"""[ ]*(?:- +)*(?:"[^"\n\r]*"|'[^'\n\r]*'|[\w.-]+)(:)(?=[^\s:/])""")
"""A line that begins with a key, a colon and no space."""
CLOSING: Final = {"[": "]", "{": "}"}


def _tab(trouble: Trouble) -> Slip:
    """Explain a tab outside of text."""
    if trouble.text[trouble.line_start(trouble.at) : trouble.at].strip():
        return trouble.slip("a tab may not stand here", "write a space")
    return trouble.slip("a tab indents this line", "indent with spaces: YAML takes no tabs for it")


def _unclosed_quote(trouble: Trouble) -> Slip:
    """Explain a quote without its partner."""
    return trouble.slip("this quote is never closed", "", (trouble.begun, trouble.begun + 1))


def _escape(trouble: Trouble) -> Slip:
    """Explain a backslash that begins nothing."""
    start = trouble.text.rfind("\\", trouble.begun, trouble.at + 1)
    escape = trouble.text[start : start + 2]
    if escape in {"\\x", "\\u", "\\U"}:
        digits = {"x": 2, "u": 4, "U": 8}[escape[1]]
        return trouble.slip(f"{escape} needs {digits} hexadecimal digits", "", (start, start + 2))
    tip = "write \\\\ for a backslash, or use single quotes, where it means itself"
    return trouble.slip(f"{shown(escape)} means nothing in double quotes", tip, (start, start + 2))


def _space_missing(trouble: Trouble, index: int) -> Slip | None:
    """Explain ``key:value``, if the line of ``index`` begins so."""
    found = NO_SPACE.match(trouble.text, trouble.line_start(index))
    if not found:
        return None
    return trouble.slip("a space is missing after this colon", SPACE, found.span(1))


def _colon_in_word(trouble: Trouble) -> Slip:
    """Explain a colon inside a word between brackets: a scale, a time, an address, or a space left out."""
    around = trouble.text[trouble.at - 1 : trouble.at + 2]
    if around[-1:] == "/" or (around[:1] + around[2:]).isdigit():
        return trouble.slip("between brackets, text with a colon in it needs quotes")
    return trouble.slip("a space is missing after this colon", SPACE)


def _second_value(trouble: Trouble) -> Slip:
    """Explain a key where its line, or the line above, has a value already."""
    start = trouble.line_start(trouble.at)
    before = trouble.text[start : trouble.at]
    if re.search(r":\s", before):
        tip = "text with a colon and a space in it needs quotes; a map begins on a line of its own"
        return trouble.slip("a second key and value cannot begin on one line", tip)
    if "\t" in before[: -len(before.lstrip())]:
        return _tab(replace(trouble, at=start + before.index("\t")))
    above = trouble.text[:start].rstrip()
    if missing := _space_missing(trouble, len(above)):
        return missing
    tip = "indent it like the keys it belongs to; text that goes on over lines and has a colon needs quotes"
    span = (start + trouble.indent(start), trouble.at)
    return trouble.slip("a key cannot stand here: what is above it has its value already", tip, span)


def _no_colon(trouble: Trouble) -> Slip:
    """Explain a line that ought to be ``key: value``."""
    start, end = trouble.begun, trouble.rest(trouble.begun)
    missing = _space_missing(trouble, start)
    tip = "a key is followed by a colon and a space; text that goes on from the line above is indented"
    return missing or trouble.slip("a key and its colon are expected here", tip, (start, end))


def _no_key(trouble: Trouble) -> Slip:
    """Explain what stands in a map where its next key is due."""
    if trouble.char == ":":
        return trouble.slip("a key is missing before this colon")
    if trouble.char in CLOSING.values():
        return trouble.slip(f"this {trouble.char} closes nothing", QUOTES)
    if trouble.char == "-":
        tip = "a list begins on the line below its key, its dashes under each other"
        return trouble.slip("a list item cannot stand among the keys of a map", tip)
    if trouble.text[trouble.line_start(trouble.at) : trouble.at].strip():
        span = (trouble.at, trouble.rest(trouble.at))
        return trouble.slip("nothing more may follow on this line", QUOTES, span)
    return _misplaced(trouble, "map", "keys")


def _misplaced(trouble: Trouble, what: str, parts: str) -> Slip:
    """Explain a line whose indentation fits neither what it might belong to nor anything outside of that."""
    column = trouble.begun - trouble.line_start(trouble.begun) + 1
    tip = f"the {what} begun on line {trouble.number(trouble.begun)} has its {parts} in column {column}"
    span = (trouble.at, trouble.rest(trouble.at))
    return trouble.slip("this line is indented like nothing above it", tip, span)


def _after_quote(trouble: Trouble) -> Slip | None:
    """Explain text that goes on after a closing quote; often an earlier quote was left open."""
    start, end = trouble.last
    between = trouble.text[end : trouble.at]
    if trouble.text[start:end][-1:] not in {"'", '"'} or between.strip(" \t") or trouble.char in {*":,]}"}:
        return None
    if trouble.line_start(start) != trouble.line_start(end):
        message = f"this quote is closed only on line {trouble.number(end)}"
        return trouble.slip(message, "close it where its text ends", (start, start + 1))
    single = trouble.text[start] == "'"
    tip = "a single quote inside single quotes is written twice" if single else 'inside, write \\" for "'
    span = (trouble.at, trouble.rest(trouble.at))
    return trouble.slip("text goes on after its closing quote", tip, span)


def _no_dash(trouble: Trouble) -> Slip:
    """Explain what stands among the items of a list."""
    if trouble.char == "-":
        return _misplaced(trouble, "list", "dashes")
    tip = "a list has nothing but items; what belongs to an item is indented under it"
    return trouble.slip("a list item, with its dash, is expected here", tip, (trouble.at, trouble.rest(trouble.at)))


def _no_comma(trouble: Trouble) -> Slip:
    """Explain a bracket that is not closed where it should be, or a comma left out."""
    opening = trouble.begun
    if trouble.char in CLOSING.values():
        return _wrong_bracket(trouble, opening)
    other_line = trouble.line_start(opening) != trouble.line_start(trouble.at)
    if not trouble.char or (other_line and trouble.indent(trouble.at) <= trouble.indent(opening)):
        return _unclosed_bracket(trouble, opening)
    closing = CLOSING.get(trouble.text[opening : opening + 1], "]")
    tip = "put a comma between entries, and quotes around text that has a comma, colon or bracket in it"
    return trouble.slip(f"a comma or {closing} is expected here", tip)


def _unclosed_bracket(trouble: Trouble, opening: int) -> Slip:
    """Explain a bracket without its partner."""
    char = trouble.text[opening : opening + 1]
    return trouble.slip(f"this {char} is never closed", f"close it with {CLOSING[char]}", (opening, opening + 1))


def _wrong_bracket(trouble: Trouble, opening: int) -> Slip:
    """Explain a closing bracket of the other kind."""
    char = trouble.text[opening]
    message = f"this {trouble.char} cannot close the {char} of line {trouble.number(opening)}"
    return trouble.slip(message, f"close it with {CLOSING[char]}")


def _no_value(trouble: Trouble) -> Slip:
    """Explain what stands where a value is due."""
    if trouble.bracket is not None:
        if not trouble.char:
            return _unclosed_bracket(trouble, trouble.bracket)
        if trouble.char in CLOSING.values():
            return _wrong_bracket(trouble, trouble.bracket)
    if trouble.char == ":":
        return trouble.slip("a key is missing before this colon")
    if trouble.char == "," and trouble.bracket is not None:
        return trouble.slip("a value is missing before this comma")
    return _cannot_begin(trouble)


def _cannot_begin(trouble: Trouble) -> Slip:
    """Explain a character that means something else to YAML."""
    if not trouble.char:
        return trouble.slip("the file ends where a value is due")
    return trouble.slip(f"text cannot begin with {shown(trouble.char)}", QUOTES)


def _no_name(trouble: Trouble) -> Slip:
    """Explain ``*``, ``&`` or ``!`` before something that is no name."""
    char = trouble.text[trouble.begun : trouble.begun + 1]
    return trouble.slip(f"text cannot begin with {shown(char)}", QUOTES, (trouble.begun, trouble.begun + 1))


def _list_here(trouble: Trouble) -> Slip:
    """Explain a dash on the line of its key."""
    tip = "begin it on the line below its key, or write it in brackets: [a, b]"
    return trouble.slip("a list cannot begin on this line", tip)


def _block_head(trouble: Trouble) -> Slip:
    """Explain what follows ``|`` or ``>`` on its line."""
    char = trouble.text[trouble.begun : trouble.begun + 1]
    tip = f"the text begins on the next line, indented; or, {QUOTES}"
    return trouble.slip(f"nothing may follow {char} on its line", tip, (trouble.at, trouble.rest(trouble.at)))


def _directive(trouble: Trouble) -> Slip:
    """Explain a line that begins with ``%``."""
    found = re.compile("^%", re.MULTILINE).search(trouble.text, trouble.begun if trouble.char else 0)
    start = found.start() if found else trouble.at
    return trouble.slip("a line cannot begin with %", QUOTES, (start, trouble.rest(start)))


def _after_the_end(trouble: Trouble) -> Slip:
    """Explain what follows a value that is the whole file."""
    message = "nothing may follow here: the value of the file has ended"
    return trouble.slip(message, "a plan is one map of keys and values", (trouble.at, trouble.rest(trouble.at)))


def _other(trouble: Trouble) -> Slip:
    """Pass on what the parser says."""
    return trouble.slip(f"this is not YAML: {shown(trouble.problem)}")


WORDS: Final[tuple[tuple[str, Callable[[Trouble], Slip]], ...]] = (
    (r"quoted scalar: .*(end of stream|document (indicator|separator))", _unclosed_quote),
    (r"escape|hexdecimal|hexadecimal", _escape),
    (r"unexpected ':'", _colon_in_word),
    (r"mapping values are not allowed", _second_value),
    (r"could not find expected ':'", _no_colon),
    (r"block mapping: ", _no_key),
    (r"block collection: ", _no_dash),
    (r"',' or '[\]}]'", _no_comma),
    (r"node content", _no_value),
    (r"cannot start any token|mapping keys are not allowed", _cannot_begin),
    (r"an (anchor|alias): |a tag: |tag handle", _no_name),
    (r"sequence entries are not allowed", _list_here),
    (r"block scalar: ", _block_head),
    (r"directive|incompatible|version", _directive),
    (r"document start|after document", _after_the_end),
)
"""What the two parsers say, and who explains it."""


def explain(error: Exception, text: str, bracket: int | None, last: tuple[int, int]) -> Slip:
    """Return the slip behind an error of the parser.

    ``bracket`` is the index of the innermost bracket still open, ``last`` the span of the scalar read last.
    """
    context = getattr(error, "context", None) or ""
    problem = getattr(error, "problem", None) or str(error)
    end = len(text.rstrip(" \r\n"))
    at = _index(getattr(error, "problem_mark", None), end)
    begun = _index(getattr(error, "context_mark", None), at)
    trouble = Trouble(text[:end], problem, at, begun, bracket, last)
    if trouble.char == "\t":
        return _tab(trouble)
    if problem.startswith(("did not find expected", "expected")) and (slip := _after_quote(trouble)):
        return slip
    said = f"{context}: {problem}"
    words = next((words for pattern, words in WORDS if re.search(pattern, said)), _other)
    return words(trouble)


def _index(mark: Any, otherwise: int) -> int:
    """Return the index of a parser's mark, unless it is behind the last word of the file."""
    return min(int(mark.index), otherwise) if mark else otherwise
