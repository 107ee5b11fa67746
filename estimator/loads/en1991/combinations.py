"""How dead load, snow and wind act together by EN 1990: expressions 6.10, 6.11b and 6.14b."""

from __future__ import annotations

from estimator.loads.actions.clauses import Clause, load_case
from estimator.loads.actions.combinations import Combination
from estimator.loads.en1991.annexes import PartialFactors


def en_ultimate(f: PartialFactors) -> tuple[Combination, ...]:
    """Combinations of the ultimate limit states: strength (STR, set B) and loss of equilibrium (EQU, set A).

    Source: EN 1990:2002 expression 6.10, Tables A1.2(A) [from memory] and A1.2(B) [found].

    >>> from estimator.loads.en1991.annexes import RECOMMENDED
    >>> [(c.name, c.D) for c in en_ultimate(RECOMMENDED.partial)][-1]
    ('EQU 0.9G + 1.5W up', 0.9)
    """
    Q, S0, W0 = f.gamma_q, f.gamma_q * f.psi_0_snow, f.gamma_q * f.psi_0_wind
    str_, equ = Clause("EN 1990", "6.10 STR"), Clause("EN 1990", "6.10 EQU")
    G, g = f.gamma_g_sup, f.gamma_g_inf
    E, e = f.gamma_g_sup_equ, f.gamma_g_inf_equ
    return (
        Combination(load_case("STR", (f"{G:g}", "G")), G, 0.0, 0.0, "none", str_),
        Combination(load_case("STR", (f"{G:g}", "G"), (f"{Q:g}", "S")), G, Q, 0.0, "none", str_),
        Combination(
            load_case("STR", (f"{G:g}", "G"), (f"{Q:g}", "S"), (f"{W0:g}", "W", "down")), G, Q, W0, "down", str_
        ),
        Combination(
            load_case("STR", (f"{G:g}", "G"), (f"{Q:g}", "W", "down"), (f"{S0:g}", "S")), G, S0, Q, "down", str_
        ),
        Combination(load_case("STR", (f"{g:g}", "G"), (f"{Q:g}", "W", "up")), g, 0.0, Q, "up", str_),
        Combination(
            load_case("EQU", (f"{E:g}", "G"), (f"{Q:g}", "S"), (f"{W0:g}", "W", "down")),
            E,
            Q,
            W0,
            "down",
            equ,
            "from memory",
        ),
        Combination(load_case("EQU", (f"{e:g}", "G"), (f"{Q:g}", "W", "up")), e, 0.0, Q, "up", equ, "from memory"),
    )


def en_exceptional(Cesl: float) -> Combination:
    """Exceptional snow as an accidental action: nothing factored, the snow times Cesl.

    Source: EN 1990:2002 expression 6.11b, EN 1991-1-3:2003 Equation 4.3 [found].

    >>> en_exceptional(2.0).S
    2.0
    """
    return Combination(
        load_case("ACC", ("", "G"), (f"{Cesl:g}", "S", "exceptional")),
        1.0,
        Cesl,
        0.0,
        "none",
        Clause("EN 1990", "6.11b"),
    )


def en_service(f: PartialFactors) -> tuple[Combination, ...]:
    """Characteristic combinations for deflection. Source: EN 1990:2002 expression 6.14b [found].

    >>> from estimator.loads.en1991.annexes import RECOMMENDED
    >>> [c.name for c in en_service(RECOMMENDED.partial)]
    ['G + S + 0.6W down', 'G + W down + 0.5S', 'G + S', 'G + W up']
    """
    clause = Clause("EN 1990", "6.14b")
    return (
        Combination(
            load_case("", ("", "G"), ("", "S"), (f"{f.psi_0_wind:g}", "W", "down")),
            1.0,
            1.0,
            f.psi_0_wind,
            "down",
            clause,
        ),
        Combination(
            load_case("", ("", "G"), ("", "W", "down"), (f"{f.psi_0_snow:g}", "S")),
            1.0,
            f.psi_0_snow,
            1.0,
            "down",
            clause,
        ),
        Combination(load_case("", ("", "G"), ("", "S")), 1.0, 1.0, 0.0, "none", clause),
        Combination(load_case("", ("", "G"), ("", "W", "up")), 1.0, 0.0, 1.0, "up", clause),
    )
