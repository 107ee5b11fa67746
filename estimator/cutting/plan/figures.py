"""The figures of a plan that follow from its bars alone, and what is told of bars that stay whole."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from estimator.cutting.instance import offcut_value
from estimator.cutting.records import BarPattern, BarsOfLength, Saw
from estimator.errors import Finding
from estimator.places import Place
from estimator.sentences import say

WHOLE_BARS = "bars_up_to_a_break"
"""The code of the note on bars that are bought and not cut."""


def bar_figures(bars: tuple[BarPattern, ...], saw: Saw) -> dict[str, Any]:
    """Bars, cuts, lengths and money of a plan, by the names of its fields."""
    bought = sum(bar.stock_length * bar.count for bar in bars)
    kept = sum(bar.offcut * bar.count for bar in bars if bar.reusable)
    used = sum(sum(bar.pieces) * bar.count for bar in bars)
    return {
        "bars": bars,
        "cuts": sum(bar.cuts * bar.count for bar in bars),
        "bars_by_length": bars_by_length(bars),
        "bought_length": bought,
        "waste_length": bought - used - kept,
        "reusable_length": kept,
        "bar_cost": sum(bar.price * bar.count for bar in bars),
        "offcut_value": sum(offcut_value(saw, bar.price, bar.offcut) * bar.count for bar in bars),
    }


def bars_by_length(bars: Sequence[BarPattern]) -> tuple[BarsOfLength, ...]:
    """Bars of each part, length and price, the longest first."""
    counts: dict[tuple[str, int, int, int], int] = {}
    for bar in bars:
        key = (bar.part, bar.stock_length, bar.price, bar.price_from)
        counts[key] = counts.get(key, 0) + bar.count
    return tuple(
        BarsOfLength(part, length, count, price, price_from)
        for (part, length, price, price_from), count in sorted(counts.items(), key=lambda item: (-item[0][1], item[0]))
    )


def whole_bar_notes(bars: Sequence[BarPattern]) -> tuple[Finding, ...]:
    """A note for every part of which more is bought than is cut, because more cost less."""
    return tuple(
        Finding(
            WHOLE_BARS,
            "note",
            say(
                "{part}: {count} more than are cut, because from {least} on all of them together cost less",
                part=bar.part,
                count=bar.count,
                least=bar.price_from,
            ),
            found=float(bar.count),
            place=Place(part=bar.part),
        )
        for bar in bars
        if not bar.pieces
    )
