"""Whether values are as a schema has them, and what is said if not."""

from __future__ import annotations

import copy
import subprocess
import sys
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012

from lampwright import documents, schema
from lampwright.schema import SchemaFault
from lampwright.schema.accept import acceptor
from lampwright.schema.explain import CAP
from lampwright.schema.files import Node, Schema, load
from lampwright.schema.keywords import UnknownKeywordError

SAMPLES = Path(__file__).parent.parent / "schemas"
KINDS = ("plan", "rulebook")


@cache
def sample(kind: str) -> Any:
    """Return the values of the document that says everything."""
    return documents.read(SAMPLES / f"{kind}.yaml", f"{kind}.yaml").values


@cache
def judge(kind: str) -> Draft202012Validator:
    """Return the library's judge of a format."""
    kinds = ("values", *KINDS)
    files = [(f"{name}.schema.json", DRAFT202012.create_resource(load(name))) for name in kinds]
    return Draft202012Validator({"$ref": f"{kind}.schema.json"}, registry=Registry().with_resources(files))


def accepts(node: Node, value: Any) -> bool:
    """Tell whether a schema accepts a value."""
    return acceptor(Schema(node, node))(value)


# --- accepting -------------------------------------------------------------------------------------------------------

VALUES: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    1,
    -3,
    Decimal("1.0"),
    Decimal("1.5"),
    "",
    "a",
    "ab",
    [],
    [1],
    {},
    {"a": 1},
)


@pytest.mark.parametrize("word", ["null", "boolean", "integer", "number", "string", "array", "object"])
def test_types_are_told_apart_as_the_library_does(word: str) -> None:
    """True is no number, a decimal is no integer."""
    judged = Draft202012Validator({"type": word})
    assert [value for value in VALUES if accepts({"type": word}, value)] == [v for v in VALUES if judged.is_valid(v)]


def test_maps_and_lists_that_carry_more_count_as_maps_and_lists() -> None:
    """A reader may return subclasses."""

    class Marked(dict[str, Any]):
        pass

    node = {"type": "object", "properties": {"a": {"type": "integer"}}, "additionalProperties": False}
    assert accepts(node, Marked(a=1))
    assert not accepts(node, Marked(b=1))


@pytest.mark.parametrize("node", [{"oneOf": []}, {"format": "date"}, {"enum": [[1]]}, {"allOf": [{"not": {}}]}])
def test_a_keyword_that_would_be_passed_over_stops_the_schema(node: Node) -> None:
    """What is not looked at must not look as if it were."""
    with pytest.raises(UnknownKeywordError):
        accepts(node, "x")


SCALARS = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-2, 3),
    st.decimals(-2, 3, places=1),
    st.sampled_from(["", "a", "ab", "red", "101", "60 mph", "A.0", "left", "dark"]),
)
ANYTHING = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from(["a", "b", "type", "red"]), inner, max_size=3)
    ),
    max_leaves=6,
)


def _nodes(inner: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return nodes made of keywords, some leading to other nodes."""
    names = st.sampled_from(["a", "b", "red"])
    types = st.sampled_from(["null", "boolean", "integer", "number", "string", "array", "object"])
    keywords: dict[str, st.SearchStrategy[Any]] = {
        "type": types | st.lists(types, min_size=1, max_size=3, unique=True),
        "enum": st.lists(
            st.one_of(st.booleans(), st.integers(0, 2), st.sampled_from(["a", "red"]), st.none()), min_size=1
        ),
        "const": st.sampled_from([1, True, "a"]),
        "pattern": st.sampled_from(["^a", "b$", "^(?:red|ab)$"]),
        "minimum": st.integers(-1, 2),
        "maximum": st.integers(-1, 2),
        "minItems": st.integers(0, 2),
        "maxItems": st.integers(0, 2),
        "uniqueItems": st.booleans(),
        "minProperties": st.integers(0, 2),
        "maxProperties": st.integers(0, 2),
        "required": st.lists(names, max_size=2, unique=True),
        "items": inner,
        "prefixItems": st.lists(inner, min_size=1, max_size=2),
        "properties": st.dictionaries(names, inner, max_size=2),
        "additionalProperties": st.booleans() | inner,
        "propertyNames": inner,
        "allOf": st.lists(inner, min_size=1, max_size=2),
        "if": inner,
        "then": inner,
        "else": inner,
    }
    return st.lists(st.sampled_from(sorted(keywords)), max_size=4, unique=True).flatmap(
        lambda chosen: st.fixed_dictionaries({name: keywords[name] for name in chosen})
    )


@given(node=st.recursive(st.just({}), _nodes, max_leaves=8), value=ANYTHING)
@settings(max_examples=400, deadline=None)
def test_any_schema_is_judged_as_the_library_judges_it(node: Node, value: Any) -> None:
    """Schemas of every keyword there is, values of every kind."""
    assert accepts(node, value) == Draft202012Validator(node).is_valid(value)


@st.composite
def mutated(draw: st.DrawFn, kind: str) -> Any:
    """Return the sample with up to three places changed: another value, a key gone, a key renamed."""
    values = copy.deepcopy(sample(kind))
    for _ in range(draw(st.integers(1, 3))):
        at = values
        while True:
            steps = list(at) if isinstance(at, dict) else range(len(at))
            if not steps:
                break
            step = draw(st.sampled_from(list(steps)))
            inner = at[step]
            if isinstance(inner, (dict, list)) and inner and draw(st.integers(0, 3)):
                at = inner
                continue
            change = draw(st.sampled_from(["replace", "remove", "rename"]))
            if change == "replace":
                at[step] = draw(ANYTHING)
            else:
                at.pop(step)
                if change == "rename" and isinstance(at, dict):
                    at[draw(st.sampled_from(["to", "form", "red", "101", "note", "years", f"{step}x"]))] = inner
            break
    return values


@pytest.mark.parametrize("kind", KINDS)
@given(data=st.data())
@settings(max_examples=150, deadline=None)
def test_a_changed_document_is_judged_as_the_library_judges_it(kind: str, data: st.DataObject) -> None:
    """And what is not accepted has faults, each at a place that can be shown."""
    values = data.draw(mutated(kind))
    root = load(kind)
    verdict = acceptor(Schema(root, root))(values)
    assert verdict == judge(kind).is_valid(values)
    faults = schema.faults(kind, values)
    assert (faults == []) == verdict
    for fault in faults:
        assert fault.message
        assert all(character.isprintable() for character in fault.message)
        at = values
        for step in fault.path:
            at = at[step]
    assert len({(fault.path, fault.on_key) for fault in faults}) == len(faults)


# --- telling what is wrong -------------------------------------------------------------------------------------------

PLAN = """\
plan: 1
name: Quince Hill
rulebook: gb-colour-light
year: 1978
lines: {main: {speed: 60 mph}}
sections:
  AA: {line: main, length: 1.2 m}
ends:
  bay: {kind: buffer-stop}
signals:
  QH1:
    form: three-aspect
    stage: proved
    lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]
    routes:
      - {to: QH3, over: [AA], points: {101: normal}, turns: straight}
      - {to: bay, class: shunt, points: {101: reverse}, turns: left, release: {from: red, occupied: AA}}
  QH3: {like: QH1}
boards:
  A: {kind: pwm-16, address: 0x40, frequency: 1000 Hz}
leds:
  red: {kind: red-3mm, resistor: 330 ohm}
"""

BOOK = """\
rulebook: 1
id: ruritania-lights
title: Ruritania
sources: {book: {title: Book of Signals, basis: verified}}
source: book
aspects:
  danger: {says: {authority: stop}}
  clear: {says: {authority: proceed, speed-now: line}}
order: [[danger, clear]]
forms:
  home:
    role: stop
    years: 1926..
    lamps: {green: {colour: green, at: [0, 1]}, red: {colour: red, at: [0, 0]}}
    shows: {danger: red, clear: green}
    in-doubt: danger
    faults: [{lost: red, then: danger}]
indicators:
  feather: {kind: positions, lamps: {count: 5}, positions: {position-1: left}}
sequence:
  - {when: {next: {authority: stop}}, show: danger}
  - {when: {next: clear}, show: clear}
"""

ROUTE = "signals QH1 routes 0"
"""Paths are written with spaces; a ``^`` at the end is the key."""

NAME = "A name has no spaces, and none of . / , : ; # quotes or brackets"
WORD = "A name begins with a small letter and goes on with small letters, digits and hyphens"

PLAN_SLIPS = [
    # text in the plan, what stands there instead, path, message, tip
    ("form: t", "forn: t", "signals QH1 forn^", "forn is not a key of a signal", "did you mean form?"),
    ("plan: 1", "plan: 2", "plan", "plan is 2; this Lampwright reads plan: 1", ""),
    ("signals:", "singals:", "singals^", "singals is not a key of a plan", "did you mean signals?"),
    (
        "60 mph",
        "60",
        "lines main speed",
        "speed of main is the number 60; expected a speed, like 60 mph",
        "A speed carries its unit: mph, km/h or m/s. It is the prototype's, unless model stands before it",
    ),
    (
        "1.2 m}",
        "[1.2 m]}",
        "sections AA length",
        "length of AA is a list; expected a length, like 1.2 m",
        (
            "A length carries its unit: mm, cm, m, km, in, ft, yd, chains or miles."
            " It is the model's, unless real stands before it"
        ),
    ),
    ("buffer-stop", "bufferstop", "ends bay kind", "kind of bay cannot be bufferstop", "did you mean buffer-stop?"),
    (
        "{kind: buffer-stop}",
        "{}",
        "ends bay^",
        "bay lacks the key kind",
        "kind is one of off-stage, buffer-stop or unsignalled",
    ),
    (
        "{kind: buffer-stop}",
        "buffer-stop",
        "ends bay",
        "bay is the word buffer-stop; expected an end",
        "Where signalled track stops",
    ),
    ("{kind: b", "{knd: b", "ends bay knd^", "knd is not a key of an end", "did you mean kind?"),
    ("stage: proved", "stage: prooved", "signals QH1 stage", "stage of QH1 cannot be prooved", "did you mean proved?"),
    (
        "stage: proved",
        "stage: [proved]",
        "signals QH1 stage",
        "stage of QH1 is a list; expected a stage",
        "did you mean proved?",
    ),
    (
        "lamps: [{green: A.0}, {yellow: A.1}, {red: A.2}]",
        "lamps: green",
        "signals QH1 lamps",
        (
            "lamps of QH1 is the word green;"
            " expected a list of lamps from the top down, or map of lamps, like [green, yellow, red]"
        ),
        "Lamps as built, with their outputs or without: a list of colours from the top down, or a map by names",
    ),
    (
        "{green: A.0}, {y",
        "{green: A.0, y",
        "signals QH1 lamps 0",
        "item 1 of lamps of QH1 has 2 keys; expected 1",
        "A colour (green), or one colour with its output ({green: A.0})",
    ),
    (
        "green: A.0",
        "green: 3",
        "signals QH1 lamps 0 green",
        "green of QH1 is the number 3; expected an output, or map of how it is wired, like A.0",
        "A board and one of its outputs, joined by a dot: A.0; or dummy for a lamp that is never wired",
    ),
    (
        "green: A.0",
        "green: {output: A.0, resistr: 330 ohm}",
        "signals QH1 lamps 0 green resistr^",
        "resistr is not a key of a lamp's wiring",
        "did you mean resistor?",
    ),
    ("{to: QH3", "{too: QH3", f"{ROUTE} too^", "too is not a key of a route", "did you mean to?"),
    ("to: QH3, ", "", ROUTE, "item 1 of routes of QH1 lacks the key to", "to: Next stop signal, or the end"),
    ("over: [AA]", "over: [AA, AA]", f"{ROUTE} over", "over of QH1 has AA twice", "once is enough"),
    (
        "over: [AA]",
        "over: [AA, {AB: AC}]",
        f"{ROUTE} over 1",
        "item 2 of over of QH1 is a map; expected a name, like TB1",
        NAME,
    ),
    (
        "101: normal",
        "101: straight",
        f"{ROUTE} points 101",
        "101 in points of QH1 cannot be straight",
        "there are normal and reverse",
    ),
    (
        "turns: straight",
        "turns: straight, mostly so",
        f"{ROUTE} mostly so^",
        "mostly so is not a key of a route",
        "a text with a comma in it needs quotes",
    ),
    (
        "occupied: AA",
        "ocupied: AA",
        "signals QH1 routes 1 release ocupied^",
        "ocupied is not a key of an approach release",
        "did you mean occupied?",
    ),
    ("QH3: {like: QH1}", "QH 3: {like: QH1}", "signals QH 3^", "QH 3 is not a name", NAME),
    (
        "QH3: {like: QH1}",
        "QH3:",
        "signals QH3",
        "QH3 is empty; expected a signal",
        "if nothing is to be said of it, write {}",
    ),
    ("0x40", "300", "boards A address", "address of A is 300; expected an address on the bus from 0 to 127", ""),
    (
        "330 ohm",
        "330R",
        "leds red resistor",
        "resistor of red is the word 330R; expected a resistor, like 330 ohm",
        "Its resistance, built-in if the LED has one, none, or unknown",
    ),
    (
        "year: 1978",
        "year: 78",
        "year",
        "year is 78; expected a year, span of years or era from 1000 to 2999",
        "A year (1978), a span (1974..1979), or the name of an era the rulebook has",
    ),
    (
        "points: {101: normal}",
        "points: {}",
        f"{ROUTE} points",
        "points of QH1 is empty; expected a map of points to the way they lie",
        "Points with the way they must lie: {101: normal, 103: reverse}",
    ),
]

BOOK_SLIPS = [
    (
        "basis: verified",
        "basis: certain",
        "sources book basis",
        "basis of book cannot be certain",
        "there are verified, secondary, common-practice, memory and derived",
    ),
    (
        "authority: stop}",
        "authorty: stop}",
        "aspects danger says authorty^",
        "authorty is not a key of an indication",
        "did you mean authority?",
    ),
    (
        "authority: proceed",
        "authority: preceed",
        "aspects clear says authority",
        "authority in says of clear cannot be preceed",
        "did you mean proceed?",
    ),
    (
        "at: [0, 1]",
        "at: [0]",
        "forms home lamps green at",
        "at in green of home has 1 item; expected 2",
        "Two numbers: how far to the right and how far up",
    ),
    (
        "colour: green, at",
        "color: green, at",
        "forms home lamps green color^",
        "color is not a key of a lamp",
        "did you mean colour?",
    ),
    (
        "role: stop",
        "role: main",
        "forms home role",
        "role of home cannot be main",
        "there are stop, distant, repeater, shunt and subsidiary",
    ),
    (
        "years: 1926..",
        "years: 26..",
        "forms home years",
        "years of home is the word 26..; expected a year or span of years, like 1974..1979",
        (
            "A year (1978), a span (1974..1979), or a span with an open end (1926.., ..1966); both ends count."
            " A date is written 1940-10-06"
        ),
    ),
    (
        "green: {colour: green",
        "Green: {colour: green",
        "forms home lamps Green^",
        "Green is not a name",
        f"{WORD}; dark, lit, flash, present, absent, any, line, unknown, previous and buffers are taken",
    ),
    (
        "lost: red, ",
        "",
        "forms home faults 0",
        "item 1 of faults of home does not say which lamp is lost, stuck or steady",
        "",
    ),
    (
        "kind: positions, ",
        "",
        "indicators feather^",
        "feather lacks the key kind",
        "kind is one of positions, characters, figure, bars or symbol",
    ),
    (
        "lamps: {count: 5}",
        "figures: 5",
        "indicators feather figures^",
        "figures is not a key of an indicator with positions",
        (
            "its keys are like, kind, title, colour, at, lamps, positions, confusable, needed, stands-with, proved,"
            " years and 6 more"
        ),
    ),
    (
        "when: {next: {authority: stop}}, show: danger",
        "tabel: {}",
        "sequence 0 tabel^",
        "tabel is not a key of a sequence rule",
        "did you mean table?",
    ),
    (
        "when: {next: {authority: stop}}, show: danger",
        "here: danger",
        "sequence 0 here^",
        "here is not a key of a sequence rule, which lacks when and show",
        "its other keys are when, show, may, title, years, source, source-of, disputed, note and table",
    ),
    ("when: {next: c", "wen: {next: c", "sequence 1 wen^", "wen is not a key of a sequence rule", "did you mean when?"),
    (
        "[[danger, clear]]",
        "[danger, clear]",
        "order 0",
        (
            "item 1 of order is the word danger; expected a chain of aspects, like [danger, caution, clear]"
            " (and 1 more like it)"
        ),
        "Aspects, the most restrictive first",
    ),
    ("id: ruritania-lights\n", "", "", "the file lacks the key id", "id: Name of the rulebook, as plans call it"),
    (
        "id: ruritania-lights",
        "id: Ruritania",
        "id",
        "id is the word Ruritania; expected a name",
        f"did you mean ruritania? {WORD}",
    ),
]


def told(text: str, slip: tuple[str, str]) -> list[SchemaFault]:
    """Return what is said of a document with a slip in it."""
    assert text.count(slip[0]) >= 1
    document = documents.read(text.replace(*slip, 1).encode(), "slip.yaml")
    return schema.faults(document.kind if document.kind in KINDS else "rulebook", document.values)


def path(text: str) -> tuple[str | int, ...]:
    """Return a path written with spaces, ``QH 3`` and ``mostly so`` being names."""
    steps = text.replace("QH 3", "QH_3").replace("mostly so", "mostly_so").split()
    names = [step.replace("_", " ") for step in steps]
    return tuple(int(step) if step in {"0", "1"} else step for step in names)


@pytest.mark.parametrize(("old", "new", "where", "message", "tip"), PLAN_SLIPS, ids=lambda text: text[:28])
def test_one_slip_in_a_plan_is_one_fault(old: str, new: str, where: str, message: str, tip: str) -> None:
    """Each with its place, its words and what would have been right."""
    assert schema.faults("plan", documents.read(PLAN.encode(), "plan").values) == []
    assert told(PLAN, (old, new)) == [SchemaFault(path(where.rstrip("^")), where.endswith("^"), message, tip)]


@pytest.mark.parametrize(("old", "new", "where", "message", "tip"), BOOK_SLIPS, ids=lambda text: text[:28])
def test_one_slip_in_a_rulebook_is_one_fault(old: str, new: str, where: str, message: str, tip: str) -> None:
    """Each with its place, its words and what would have been right."""
    assert schema.faults("rulebook", documents.read(BOOK.encode(), "book").values) == []
    assert told(BOOK, (old, new)) == [SchemaFault(path(where.rstrip("^")), where.endswith("^"), message, tip)]


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ([], "the file is a list; expected a plan"),
        (None, "the file is empty; expected a plan"),
        ("plan", "the file is the word plan; expected a plan"),
        ({}, "the file lacks the key plan"),
    ],
)
def test_what_is_no_plan_at_all_is_said_to_be_none(values: Any, message: str) -> None:
    """The root has no key to stand on."""
    (fault,) = schema.faults("plan", values)
    assert (fault.path, fault.on_key, fault.message) == ((), False, message)


def test_two_slips_are_two_faults_in_the_order_of_the_file() -> None:
    """A fault inside does not hide one beside it."""
    values = documents.read(PLAN.replace("60 mph", "fast").replace("0x40", "x").encode(), "plan").values
    assert [fault.path for fault in schema.faults("plan", values)] == [
        ("lines", "main", "speed"),
        ("boards", "A", "address"),
    ]


def test_very_many_slips_are_counted() -> None:
    """A thousand lines of complaint help nobody."""
    faults = schema.faults("plan", {"plan": 1, "signals": {f"S{number}": {"stage": "biult"} for number in range(2000)}})
    assert len(faults) == CAP + 1
    assert faults[0] == SchemaFault(
        ("signals", "S0", "stage"), on_key=False, message="stage of S0 cannot be biult", tip="did you mean built?"
    )
    assert faults[-1].message == "1,950 more places in this file are not as the format has it"


def test_a_misunderstanding_repeated_in_every_entry_is_one_slip() -> None:
    """Somebody who left out one level of a map has not made a thousand mistakes."""
    (fault,) = schema.faults("plan", {"plan": 1, "lines": {"main": "60 mph", "branch": "40 mph", "yard": "10 mph"}})
    assert fault.message == "main is the text 60 mph; expected a line (and 2 more like it)"


def test_huge_texts_are_cut() -> None:
    """A message stays a line, whatever the file holds."""
    for values in (
        {"plan": 1, "x" * 10**6: 1},
        {"plan": 1, "rulebook": "y z" * 10**6},
        {"plan": 1, "ends": {"a": {"kind": "k" * 10**6}}},
    ):
        (fault,) = schema.faults("plan", values)
        assert len(fault.message) < 200


def test_a_document_that_is_right_pays_for_no_explaining() -> None:
    """Modules that word faults are loaded with the first fault."""
    program = (
        "import sys; from lampwright import schema; assert schema.faults('plan', {'plan': 1}) == [];"
        "print(sorted({'lampwright.schema.explain', 'difflib', 'jsonschema'} & sys.modules.keys()))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_there_is_no_schema_of_something_else() -> None:
    """Asking for one is a slip of the program."""
    with pytest.raises(FileNotFoundError):
        schema.faults("timetable", {})
