"""The project's own sources, parsed once for all tests of a process that look into them."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path


@cache
def tree_of(path: Path) -> ast.Module:
    """The file as Python reads it; nobody changes it."""
    return ast.parse(path.read_text(encoding="utf-8"))


def nodes_of(path: Path) -> Iterator[ast.AST]:
    """Every node of the file."""
    return ast.walk(tree_of(path))
