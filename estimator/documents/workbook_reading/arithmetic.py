"""Arithmetic that a person typed into a cell: digits, + - * / and brackets; nothing else is read.

Source: precedence and left-to-right order as in every spreadsheet (ECMA-376 part 1, 18.17.2.2; a leading minus binds
first there too, and nothing here has powers).
"""

from __future__ import annotations

import re
from decimal import Decimal, DivisionByZero, InvalidOperation

LONGEST = 200
DEEPEST = 20
_TOKEN = re.compile(r"\s*(?:(\d+(?:\.\d*)?|\.\d+)|([-+*/()]))")


class _NotPlain(ValueError):
    """Something else than plain arithmetic."""


def plain_arithmetic(formula: str) -> Decimal | None:
    """The value of a formula that is nothing but arithmetic; None for any other, and for a division by nothing.

    >>> plain_arithmetic("=72+8*2"), plain_arithmetic("=-(1+2)/4"), plain_arithmetic("=SUM(A1:A2)")
    (Decimal('88'), Decimal('-0.75'), None)
    """
    text = formula.strip().removeprefix("=")
    if len(text) > LONGEST:
        return None
    try:
        tokens = _tokens(text)
        value = _sum(tokens, 0)
        return value if not tokens else None
    except (_NotPlain, DivisionByZero, InvalidOperation):
        return None


def _tokens(text: str) -> list[str]:
    """The tokens, the last one first."""
    found, at = [], 0
    while text[at:].strip():
        match = _TOKEN.match(text, at)
        if match is None:
            raise _NotPlain
        found.append(match.group(1) or match.group(2))
        at = match.end()
    return found[::-1]


def _sum(tokens: list[str], depth: int) -> Decimal:
    value = _product(tokens, depth)
    while tokens and tokens[-1] in "+-":
        sign = tokens.pop()
        term = _product(tokens, depth)
        value = value + term if sign == "+" else value - term
    return value


def _product(tokens: list[str], depth: int) -> Decimal:
    value = _factor(tokens, depth)
    while tokens and tokens[-1] in "*/":
        sign = tokens.pop()
        factor = _factor(tokens, depth)
        value = value * factor if sign == "*" else value / factor
    return value


def _factor(tokens: list[str], depth: int) -> Decimal:
    if not tokens or depth > DEEPEST:
        raise _NotPlain
    sign = tokens.pop()
    if sign in "+-":
        value = _factor(tokens, depth + 1)
        return -value if sign == "-" else value
    if sign == "(":
        value = _sum(tokens, depth + 1)
        if not tokens or tokens.pop() != ")":
            raise _NotPlain
        return value
    if sign in "*/)":
        raise _NotPlain
    return Decimal(sign)
