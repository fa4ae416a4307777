"""One boat gives the same bytes on every version of Python the program runs on."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from math import fsum
from pathlib import Path

import pytest

PATTERNS = Path(__file__).parents[2] / "patterns"
WHOLE = {"widths"}
"""Names of lists that hold whole numbers, such as counts of letters: those any Python adds alike."""


def builtin_sums(text: str) -> Iterator[tuple[int, str]]:
    """Line and wording of each call of the builtin sum that may add floats."""
    for call in ast.walk(ast.parse(text)):
        if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "sum":
            added = call.args[0]
            if not _whole(added.elt if isinstance(added, ast.GeneratorExp | ast.ListComp) else added):
                yield call.lineno, ast.unparse(call)


def _whole(added: ast.expr) -> bool:
    """Whether it is plain to see that whole numbers are added: lengths, sizes of arrays, things that hold or do not."""
    match added:
        case ast.Compare() | ast.Constant(value=int()) | ast.Attribute(attr="count") | ast.Call(func=ast.Name("len")):
            return True
        case ast.Call(func=ast.Name("map"), args=[ast.Name("bool" | "len") | ast.Attribute(ast.Name("str")), *_]):
            return True
        case ast.Subscript(value=ast.Attribute(attr="shape")):
            return True
        case ast.BinOp(left=left, right=right):
            return _whole(left) and _whole(right)
    return False


@pytest.mark.slow
def test_lengths_are_added_so_that_every_python_rounds_them_alike() -> None:
    """From 3.12 on the builtin sum carries what rounding loses, before it does not: math.fsum rounds once, anywhere.

    By such a last bit a label as well off to the left as to the right went to the left here, to the right there.
    """
    found = [
        f"{module.relative_to(PATTERNS)}:{line}: {words}"
        for module in sorted(PATTERNS.rglob("*.py"))
        for line, words in builtin_sums(module.read_text(encoding="utf-8"))
        if (module.name, words) not in {("columns.py", f"sum({name})") for name in WHOLE}
    ]
    assert found == []


@pytest.mark.parametrize("words", ["sum(widths)", "sum(part.length for part in parts)", "sum([a, *b])", "sum(a + 1)"])
def test_a_sum_that_may_be_of_floats_is_seen(words: str) -> None:
    assert list(builtin_sums(f"x = 2 * {words}"))


def test_the_sum_used_instead_does_not_hang_on_the_order() -> None:
    parts = [0.1] * 10 + [1e16, -1e16]
    assert fsum(parts) == fsum(parts[::-1]) == 1.0
