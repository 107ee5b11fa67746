"""How dead load, snow and wind act together by ASCE 7: allowable stress and strength design, and for deflection."""

from __future__ import annotations

from estimator.loads.actions.clauses import Clause, load_case
from estimator.loads.actions.combinations import Combination
from estimator.loads.actions.steps import Mark
from estimator.loads.asce7.edition import Edition
from estimator.sentences import say


def asce_asd(edition: Edition) -> tuple[Combination, ...]:
    """Allowable stress combinations that act on a panel.

    Source: ASCE 7-16 clause 2.4.1 [found]; 7-22 with 0.7 S, its snow being of strength level [found].

    >>> [c.name for c in asce_asd("7-16")]
    ['D', 'D + S', 'D + 0.6W down', 'D + 0.45W down + 0.75S', 'D + 0.45W up + 0.75S', 'D + 0.6W up', '0.6D + 0.6W up']
    """
    clause = Clause(f"ASCE {edition}", "2.4.1")
    s, companion = (1.0, 0.75) if edition == "7-16" else (0.7, 0.525)
    S, part = ("", "0.75") if edition == "7-16" else ("0.7", "0.525")
    return (
        Combination(load_case("", ("", "D")), 1.0, 0.0, 0.0, "none", clause),
        Combination(load_case("", ("", "D"), (S, "S")), 1.0, s, 0.0, "none", clause),
        Combination(load_case("", ("", "D"), ("0.6", "W", "down")), 1.0, 0.0, 0.6, "down", clause),
        Combination(load_case("", ("", "D"), ("0.45", "W", "down"), (part, "S")), 1.0, companion, 0.45, "down", clause),
        Combination(load_case("", ("", "D"), ("0.45", "W", "up"), (part, "S")), 1.0, companion, 0.45, "up", clause),
        Combination(load_case("", ("", "D"), ("0.6", "W", "up")), 1.0, 0.0, 0.6, "up", clause),
        Combination(load_case("", ("0.6", "D"), ("0.6", "W", "up")), 0.6, 0.0, 0.6, "up", clause),
    )


def asce_lrfd(edition: Edition) -> tuple[Combination, ...]:
    """Strength combinations that act on a panel.

    Source: ASCE 7-16 clause 2.3.1 [found]; 7-22 with 1.0 S [found] and 0.3 S beside wind [from memory].

    >>> [c.name for c in asce_lrfd("7-22")][1:3]
    ['1.2D + 1.0S + 0.5W down', '1.2D + 1.0W down + 0.3S']
    """
    clause = Clause(f"ASCE {edition}", "2.3.1")
    s, companion = (1.6, 0.5) if edition == "7-16" else (1.0, 0.3)
    mark: Mark = "found" if edition == "7-16" else "from memory"
    return (
        Combination(load_case("", ("1.4", "D")), 1.4, 0.0, 0.0, "none", clause),
        Combination(load_case("", ("1.2", "D"), (f"{s:.1f}", "S"), ("0.5", "W", "down")), 1.2, s, 0.5, "down", clause),
        Combination(
            load_case("", ("1.2", "D"), ("1.0", "W", "down"), (f"{companion:.1f}", "S")),
            1.2,
            companion,
            1.0,
            "down",
            clause,
            mark,
        ),
        Combination(load_case("", ("1.2", "D"), (f"{s:.1f}", "S"), ("0.5", "W", "up")), 1.2, s, 0.5, "up", clause),
        Combination(
            load_case("", ("1.2", "D"), ("1.0", "W", "up"), (f"{companion:.1f}", "S")),
            1.2,
            companion,
            1.0,
            "up",
            clause,
            mark,
        ),
        Combination(load_case("", ("1.2", "D"), (f"{s:.1f}", "S")), 1.2, s, 0.0, "none", clause),
        Combination(load_case("", ("0.9", "D"), ("1.0", "W", "up")), 0.9, 0.0, 1.0, "up", clause),
    )


def asce_service(edition: Edition, wind: float = 0.6) -> tuple[Combination, ...]:
    """Combinations for deflection: unfactored dead load and snow, wind times ``wind``.

    0.6 brings the mapped wind speed to allowable level. Source: common practice, no source; a smaller factor that some
    codes allow for deflection can be given.

    >>> [c.name for c in asce_service("7-16")]
    ['D + S', 'D + 0.6W down', 'D + 0.45W down + 0.75S', 'D + 0.6W up']
    """
    s = 1.0 if edition == "7-16" else 0.7
    clause, plain = say("deflection"), "" if s == 1 else f"{s:g}"
    return (
        Combination(load_case("", ("", "D"), (plain, "S")), 1.0, s, 0.0, "none", clause),
        Combination(load_case("", ("", "D"), (f"{wind:g}", "W", "down")), 1.0, 0.0, wind, "down", clause),
        Combination(
            load_case("", ("", "D"), (f"{0.75 * wind:g}", "W", "down"), (f"{0.75 * s:g}", "S")),
            1.0,
            0.75 * s,
            0.75 * wind,
            "down",
            clause,
        ),
        Combination(load_case("", ("", "D"), (f"{wind:g}", "W", "up")), 1.0, 0.0, wind, "up", clause),
    )
