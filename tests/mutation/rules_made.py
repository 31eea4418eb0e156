"""Mutants of Python code: cosmic-ray's operators that matter for rules, and four that it has not.

Which matter is said by reviews of validators: and for or, the edge of a comparison, equal for unequal, any for all, a
condition turned, a constant one off, nothing returned, a loop that is not run.
"""

from __future__ import annotations

import ast
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Protocol

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.plugins import get_operator

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

THEIRS: Final = (
    "ReplaceUnaryOperator_Delete_Not",
    "ReplaceAndWithOr",
    "ReplaceOrWithAnd",
    "ReplaceTrueWithFalse",
    "ReplaceFalseWithTrue",
    "NumberReplacer",
    "ReplaceUnaryOperator_Delete_USub",
    "ZeroIterationForLoop",
    "ReplaceBreakWithContinue",
    "ReplaceContinueWithBreak",
    *(f"ReplaceComparisonOperator_{one}_{other}" for one, other in (
        ("Eq", "NotEq"), ("NotEq", "Eq"), ("Lt", "LtE"), ("LtE", "Lt"), ("Gt", "GtE"), ("GtE", "Gt"),
        ("Is", "IsNot"), ("IsNot", "Is"))),
    *(f"ReplaceBinaryOperator_{one}_{other}" for one, other in (
        ("Add", "Sub"), ("Sub", "Add"), ("Mul", "Div"), ("Div", "Mul"), ("BitAnd", "BitOr"), ("BitOr", "BitAnd"))),
)  # fmt: skip
QUANTIFIERS: Final = {"any": "all", "all": "any", "min": "max", "max": "min"}
NOTHING: Final = frozenset({"None", "False", "()", "[]", "{}", "''", '""', "0"})


class Operator(Protocol):
    """What cosmic-ray asks of an operator."""

    def mutation_positions(self, node: Any) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
        """Yield where it can change this very node, from and to."""

    def mutate(self, node: Any, index: int) -> Any:
        """Return the changed node."""


class Own:
    """An operator made of what it writes for a node; ``None`` where it has nothing to say."""

    def __init__(self, written: Callable[[Any], str | None]) -> None:
        self.written = written

    def mutation_positions(self, node: Any) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
        """Yield the node itself, if it is one of them."""
        if self.written(node) is not None:
            yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:  # noqa: ARG002  (a node has one place)
        """Return what is written, as a node."""
        return get_ast(f"{node.get_first_leaf().prefix}{self.written(node)}")


def quantifier(node: Any) -> str | None:
    """Swap any and all, min and max."""
    return QUANTIFIERS.get(node.value) if node.type == "name" and node.get_next_leaf().value == "(" else None


def membership(node: Any) -> str | None:
    """Turn ``in`` and ``not in``."""
    if node.parent is None or node.parent.type != "comparison":
        return None
    return {"in": "not in", "not in": "in"}.get(" ".join(node.get_code(include_prefix=False).split()))


def condition(node: Any) -> str | None:
    """Turn what is asked by ``if``, ``elif``, ``while``, in a comprehension too."""
    before = node.get_previous_sibling() if node.parent else None
    asked = before is not None and before.type == "keyword" and before.value in {"if", "elif", "while"}
    return f"not ({node.get_code(include_prefix=False)})" if asked and node.type != "not_test" else None


def emptied(node: Any) -> str | None:
    """Return or yield nothing."""
    if node.type == "yield_expr":
        return "yield from ()"
    returned = node.type == "return_stmt" and node.children[1].get_code().strip() not in NOTHING
    return "return ()" if returned else None


def operators() -> Iterator[Operator]:
    """Yield all of them."""
    yield from (get_operator(f"core/{name}")() for name in THEIRS)
    yield from (Own(one) for one in (quantifier, membership, condition, emptied))


@dataclass(frozen=True)
class Mutant:
    """A module with one change in it. ``function`` is what the change lies inside of, empty if that runs on import.

    ``body`` are the lines of that function; ``lines`` those of the statement, without what is nested in it.
    """

    path: Path
    line: int
    lines: range
    function: str
    body: range
    old: str
    new: str
    source: str

    @property
    def key(self) -> tuple[str, str, str, str]:
        """What it is told by wherever its line moves to."""
        return f"{self.path.parent.name}/{self.path.name}", self.function, self.old, self.new


def mutants(path: Path) -> Iterator[Mutant]:
    """Yield every mutant of a module that differs in more than what only readers and type checkers look at."""
    source = path.read_text(encoding="utf-8")
    known = Known(source)
    for above, chunk, below in chunks(source):
        seen = {meaning(chunk)}
        for line, made in changed(chunk):
            means = meaning(made)
            if means not in seen:
                seen.add(means)
                here = above.count("\n") + line
                function = known.function(here)
                body = known.bodies.get(function, range(0))
                old, new = difference(chunk, made, line)
                yield Mutant(path, here, known.statement(here), function, body, old, new, above + made + below)


def chunks(source: str) -> Iterator[tuple[str, str, str]]:
    """Yield each statement of a module with what is above and below it: changing a small text takes less time."""
    texts = [node.get_code() for node in get_ast(source).children]
    for number, text in enumerate(texts):
        yield "".join(texts[:number]), text, "".join(texts[number + 1 :])


def changed(source: str) -> Iterator[tuple[int, str]]:
    """Yield a text as changed in each place by each operator, and the line of that."""
    tree = list(ast_nodes(get_ast(source)))
    for operator in operators():
        lines = [start[0] for node in tree for start, _ in operator.mutation_positions(node)]
        for number, line in enumerate(lines):
            made = mutate_code(source, operator, number)
            if made is not None:
                yield line, made


def meaning(source: str) -> str:
    """Return what a text means to the interpreter."""
    return ast.dump(Plain().visit(ast.parse(source)))


class Plain(ast.NodeTransformer):
    """Leaves out of a module what rules do not hang on: annotations, and what only type checkers read."""

    def visit_If(self, node: ast.If) -> Any:
        """Leave out what is for type checkers."""
        return None if "TYPE_CHECKING" in ast.dump(node.test) else self.generic_visit(node)

    def visit_arg(self, node: ast.arg) -> Any:
        """Leave the kind of an argument out."""
        return ast.arg(node.arg)

    def visit_arguments(self, node: ast.arguments) -> Any:
        """Leave out which arguments are asked for by name."""
        node.args, node.posonlyargs, node.kwonlyargs = [*node.posonlyargs, *node.args, *node.kwonlyargs], [], []
        return self.generic_visit(node)

    def visit_keyword(self, node: ast.keyword) -> Any:
        """Leave out what only guards against slips in the code itself."""
        return None if node.arg in {"frozen", "strict"} else self.generic_visit(node)

    def visit_AnnAssign(self, node: ast.AnnAssign) -> Any:
        """Leave the kind of a variable out."""
        return ast.AnnAssign(node.target, ast.Constant(""), node.value and self.visit(node.value), node.simple)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> Any:
        """Leave out what a function returns."""
        node.returns = None
        return self.generic_visit(node)


class Known:
    """Where the statements and functions of a module lie."""

    def __init__(self, source: str) -> None:
        self.statements = list(statements(ast.parse(source)))
        self.bodies = dict(bodies(ast.parse(source), ""))

    def statement(self, line: int) -> range:
        """Return the lines of the innermost statement that has a line; a decorator stands above its own."""
        return next((lines for lines in reversed(self.statements) if line in lines), range(line, line + 1))

    def function(self, line: int) -> str:
        """Return the outermost function that has a line in its body; its head is run where it is defined."""
        return next((name for name, body in self.bodies.items() if line in body), "")


def statements(tree: ast.AST) -> Iterator[range]:
    """Yield the lines of each statement, inner ones later; of one with a body, those of its head."""
    for node in ast.walk(tree):
        if isinstance(node, ast.stmt):
            body = getattr(node, "body", None)
            yield range(node.lineno, body[0].lineno if body else (node.end_lineno or 0) + 1)


def bodies(tree: ast.AST, above: str) -> Iterator[tuple[str, range]]:
    """Yield the functions of a module and of its classes, and which lines their bodies take."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.FunctionDef):
            yield f"{above}{node.name}", range(node.body[0].lineno, (node.end_lineno or 0) + 1)
        elif isinstance(node, ast.ClassDef):
            yield from bodies(node, f"{above}{node.name}.")


def difference(old: str, new: str, line: int) -> tuple[str, str]:
    """Return the line where two texts begin to differ, in both."""
    pairs = zip(old.splitlines()[line - 1 :], new.splitlines()[line - 1 :], strict=False)
    one, other = next((pair for pair in pairs if pair[0] != pair[1]), ("", ""))
    return one.strip(), other.strip()
