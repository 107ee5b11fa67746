"""All patterns that a plan below a given cost may still use, where they are few enough to list.

Under prices that prove a bound, a pattern dearer than the gap (price of its bar less what its pieces pay) cannot occur
in any plan that closes the gap. Exact: whole numbers throughout. All patterns begun are carried on together, size after
size, and those that can no longer pay enough are dropped.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from estimator.cutting.instance import Column, Instance
from estimator.cutting.tuning import ENUMERATION

MOST_NEED = 1 << 60
"""A need as far below 0 as this excludes nothing; farther ones would not fit into 64 bits."""

Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class PartialPatterns:
    """Patterns begun on one bar: room left, pay still needed, and where their last piece stands in the trail."""

    room: Ints
    need: Ints
    last: Ints

    def __len__(self) -> int:
        return len(self.room)


class Trail:
    """Pieces taken so far, each with the one taken before it in the same pattern."""

    def __init__(self) -> None:
        self._before: list[Ints] = [np.array([-1], dtype=np.int64)]
        self._piece: list[tuple[int, int]] = [(0, 0)]
        self._starts: list[int] = [0]
        self._end = 1

    def grow(self, last: Ints, size: int, copies: int) -> Ints:
        """Adds `copies` pieces of a size after each of `last`; returns their places."""
        self._before.append(last)
        self._piece.append((size, copies))
        self._starts.append(self._end)
        places = np.arange(self._end, self._end + len(last), dtype=np.int64)
        self._end += len(last)
        return places

    def patterns(self, bar: int, last: Ints) -> list[Column]:
        """The whole patterns that end at `last`."""
        before = np.concatenate(self._before).tolist()
        stage = np.repeat(np.arange(len(self._starts)), [len(b) for b in self._before]).tolist()
        columns = []
        for place in last.tolist():
            pieces, at = [], place
            while at > 0:
                pieces.append(self._piece[stage[at]])
                at = before[at]
            columns.append((bar, tuple(reversed(pieces))))
        return columns


def patterns_within(
    instance: Instance,
    most: Sequence[int],
    prices: Sequence[int],
    need: Sequence[int | None],
    limit: int,
    unit: int = 1,
) -> tuple[Column, ...] | None:
    """Every pattern whose pieces (and off-cut, times `unit`) pay at least `need` of its bar; None if over `limit`.

    Where off-cuts are worth nothing, only full patterns are listed (no further piece of those wanted fits), since a
    piece too many does no harm then. A bar with need None is left out.
    """
    if len(instance.sizes) * (instance.widest + 1) > ENUMERATION.most_cells:
        return None
    found: list[Column] = []
    tables: list[Ints] | None = None
    for bar, least in enumerate(need):
        if least is None:
            continue
        if tables is None or instance.values:
            tables = _suffix_tables(instance, most, prices, _pay_of_rest(instance, bar, unit))
        listed = _list_bar(instance, most, prices, tables, (bar, least, limit - len(found)))
        if listed is None:
            return None
        found.extend(listed)
    return tuple(found)


def _pay_of_rest(instance: Instance, bar: int, unit: int) -> Ints:
    """What the room left at the end pays: the off-cut's value, if it has one."""
    pay = np.zeros(instance.widest + 1, dtype=np.int64)
    if instance.values:
        room = instance.bars[bar].room
        pay[: room + 1] = unit * instance.values_left(bar)
    return pay


def _suffix_tables(instance: Instance, most: Sequence[int], prices: Sequence[int], rest: Ints) -> list[Ints]:
    """For each size index i, the best pay of sizes i, i+1 ... in every room."""
    tables = [rest]
    for i in range(len(instance.sizes) - 1, -1, -1):
        left, copies = min(most[i], instance.widest // instance.sizes[i]), 1
        table = tables[-1]
        if left > 0 and prices[i] > 0:
            table = table.copy()
            while left > 0:
                n = min(copies, left)
                room = n * instance.sizes[i]
                new = table[:-room] + n * prices[i]
                np.maximum(table[room:], new, out=table[room:])
                left -= n
                copies *= 2
        tables.append(table)
    tables.reverse()
    return tables


def _list_bar(
    instance: Instance, most: Sequence[int], prices: Sequence[int], tables: list[Ints], ask: tuple[int, int, int]
) -> list[Column] | None:
    bar, least, limit = ask
    room = instance.bars[bar].room
    trail = Trail()
    zero = np.zeros(1, dtype=np.int64)
    if int(tables[0][room]) < least:
        return []
    begun = PartialPatterns(zero + room, zero + max(least, -MOST_NEED), zero)
    for i, size in enumerate(instance.sizes):
        if size <= room and most[i] > 0:
            begun = _with_size(begun, trail, tables[i + 1], (i, size, most[i], prices[i]))
            if len(begun) > limit:
                return None
    kept = begun.last > 0
    if not instance.values:
        kept &= _is_full(instance, most, trail, bar, begun)
    return trail.patterns(bar, begun.last[kept])


def _with_size(begun: PartialPatterns, trail: Trail, table: Ints, piece: tuple[int, int, int, int]) -> PartialPatterns:
    """Every pattern begun, with every number of pieces of this size that leaves it able to pay enough."""
    i, size, most, price = piece
    parts: list[PartialPatterns] = []
    able = np.flatnonzero(table[begun.room] >= begun.need)
    parts.append(PartialPatterns(begun.room[able], begun.need[able], begun.last[able]))
    room, need, last = begun.room, begun.need, begun.last
    for n in range(1, most + 1):
        fits = np.flatnonzero(room >= size)
        if not fits.size:
            break
        room, need, last = room[fits] - size, need[fits] - price, last[fits]
        able = np.flatnonzero(table[room] >= need)
        if able.size:
            parts.append(PartialPatterns(room[able], need[able], trail.grow(last[able], i, n)))
    if len(parts) == 1:
        return parts[0]
    return PartialPatterns(
        np.concatenate([p.room for p in parts]),
        np.concatenate([p.need for p in parts]),
        np.concatenate([p.last for p in parts]),
    )


def _is_full(
    instance: Instance, most: Sequence[int], trail: Trail, bar: int, begun: PartialPatterns
) -> NDArray[np.bool_]:
    """Whether nothing that is wanted fits the room that is left."""
    smallest = min(instance.sizes)
    full = begun.room < smallest
    doubtful = np.flatnonzero(~full & (begun.last > 0))
    for k, (_, pieces) in zip(doubtful.tolist(), trail.patterns(bar, begun.last[doubtful]), strict=True):
        taken = dict(pieces)
        room = int(begun.room[k])
        full[k] = not any(size <= room and taken.get(i, 0) < most[i] for i, size in enumerate(instance.sizes))
    return full
