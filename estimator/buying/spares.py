"""How many spare parts a line takes."""

from __future__ import annotations

from decimal import ROUND_CEILING, Decimal, localcontext

from estimator.pricebook import Book, Part, SpareRule
from estimator.sentences import Sentence, percent, say

NO_SPARES = SpareRule()
_DIGITS = 50


def spare_rule(part: Part, book: Book) -> SpareRule:
    """The rule in force for a part: its own, else its role's, else the book's default; rails have none unless told.

    Source: common practice, no source.
    """
    if part.spare is not None:
        return part.spare
    fallback = NO_SPARES if part.role == "rail" else book.spares.get("default", NO_SPARES)
    return book.spares.get(part.role, fallback)


def spares_for(net: int, rule: SpareRule) -> int:
    """Spare parts for ``net`` good ones wanted.

    By rate: ceil(net * rate). By loss rate q and confidence: the fewest s for which the chance that at least ``net`` of
    net + s parts are good, each lost with probability q, reaches the confidence. Source: binomial distribution.

    >>> spares_for(100, SpareRule(rate=Decimal("0.02")))
    2
    >>> spares_for(100, SpareRule(loss_rate=Decimal("0.02"), confidence=Decimal("0.95")))
    5
    """
    if net == 0:
        return 0
    if rule.loss_rate is None or rule.confidence is None:
        return int((net * rule.rate).to_integral_value(ROUND_CEILING))
    return _binomial_spares(net, rule.loss_rate, rule.confidence)


def _binomial_spares(net: int, loss_rate: Decimal, confidence: Decimal) -> int:
    """The failures before the net-th success stay within s with that confidence: a negative binomial sum."""
    if not (0 <= loss_rate < 1 and 0 < confidence < 1):
        raise ValueError("a loss rate lies from 0 to below 1, a confidence between 0 and 1")
    with localcontext() as context:
        context.prec = _DIGITS
        term = (1 - loss_rate) ** net
        reached, spare = term, 0
        while reached < confidence:
            term *= loss_rate * (net + spare) / (spare + 1)
            spare += 1
            reached += term
    return spare


def spare_sentence(net: int, spare: int, rule: SpareRule) -> Sentence:
    """The spare count in words, for a line's derivation."""
    if spare == 0:
        return say("no spares")
    if rule.loss_rate is None:
        return say("{count} spare: {net} × {rate} rounded up", count=spare, net=net, rate=percent(rule.rate))
    return say(
        "{count} spare: enough good parts with {confidence} confidence, {loss} being lost",
        count=spare,
        confidence=percent(rule.confidence or Decimal(0)),
        loss=percent(rule.loss_rate),
    )
