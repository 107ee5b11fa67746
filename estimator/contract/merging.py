"""Two people changed one document: both changes are kept where they do not touch the same thing."""

from __future__ import annotations

from typing import Any, TypeAlias

Document: TypeAlias = Any
_GONE = object()


def merged(base: Document, mine: Document, theirs: Document) -> tuple[Document, tuple[str, ...]]:
    """``theirs`` with my changes of ``base`` laid over it, and the places (JSON Pointers) where both changed.

    There mine stand, and are named. Lists are merged thing by thing where all three are as long, else as one thing.

    >>> merged({"a": 1, "b": 1}, {"a": 2, "b": 1}, {"a": 1, "b": 3})
    ({'a': 2, 'b': 3}, ())
    >>> merged({"a": 1}, {"a": 2}, {"a": 3})
    ({'a': 2}, ('/a',))
    """
    both: list[str] = []
    return _merged("", (base, mine, theirs), both), tuple(both)


def _merged(place: str, three: tuple[Document, Document, Document], both: list[str]) -> Document:
    base, mine, theirs = three
    if mine == base:
        return theirs
    if theirs in (base, mine):
        return mine
    if all(isinstance(each, dict) for each in three):
        found = {}
        for name in dict.fromkeys([*theirs, *mine]):
            inner = tuple(each.get(name, _GONE) for each in three)
            value = _merged(f"{place}/{name}", (inner[0], inner[1], inner[2]), both)
            if value is not _GONE:
                found[name] = value
        return found
    if all(isinstance(each, list) for each in three) and len(base) == len(mine) == len(theirs):
        return [_merged(f"{place}/{at}", inner, both) for at, inner in enumerate(zip(base, mine, theirs, strict=True))]
    both.append(place)
    return mine
