"""Every pattern of a small instance, listed the plain way: the reference for pricing and for enumeration."""

from collections.abc import Iterator
from itertools import product

from estimator.cutting.instance import Column, Instance


def every_pattern(instance: Instance) -> Iterator[Column]:
    """Every way to lay pieces on one bar, the empty bar left out."""
    for bar, stock in enumerate(instance.bars):
        most = [min(n, stock.room // size) for size, n in zip(instance.sizes, instance.wanted, strict=True)]
        for counts in product(*(range(n + 1) for n in most)):
            column = (bar, tuple((i, n) for i, n in enumerate(counts) if n))
            if column[1] and instance.used(column) <= stock.room:
                yield column
