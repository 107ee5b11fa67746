"""Overrides of failed checks, by code and place, with a reason that the quote prints."""

from __future__ import annotations

from dataclasses import replace

from estimator.checks import named_by_place, unmatched
from estimator.comparison.records import Offer, QuotedOption
from estimator.errors import NEVER_OVERRIDDEN, Fault, OverrideRefused
from estimator.estimate import Estimate
from estimator.job import CheckOverride
from estimator.sentences import Sentence, say

KNOWN = say("code and place of an error among the checks")


def overridden(offer: Offer, overrides: tuple[CheckOverride, ...]) -> Offer:
    """The offer with those overrides in it: each in the option that it names, else in every one that has such a check.

    Errors: OverrideRefused, with each override that names no failed check, or one that cannot be overridden.
    """
    faults = [
        Fault(
            f"/overrides/{at}/option",
            say("the quote has no option {option}", option=each.option),
            ", ".join(offer.letters),
        )
        for at, each in enumerate(overrides)
        if each.option not in ("", *offer.letters)
    ]
    faults += [
        Fault(f"/overrides/{at}", say("{code} cannot be overridden", code=each.code), say("a change of the job"))
        for at, each in enumerate(overrides)
        if each.code in NEVER_OVERRIDDEN
    ]
    ways, matched = [], set[int]()
    for way in offer.ways:
        estimate, own = _let_stand(way, overrides)
        matched |= own
        ways.append(replace(way, estimate=estimate))
    faults += [
        Fault(f"/overrides/{at}", _nowhere(overrides[at]), KNOWN)
        for at in range(len(overrides))
        if at not in matched and overrides[at].option in ("", *offer.letters)
    ]
    if faults:
        raise OverrideRefused(say("an override names no failed check"), faults)
    return replace(offer, estimate=ways[0].estimate, options=tuple(ways[1:]))


def _let_stand(way: QuotedOption, overrides: tuple[CheckOverride, ...]) -> tuple[Estimate, set[int]]:
    """One option with the overrides of its checks, and which of them these are."""
    estimate = way.estimate
    named = named_by_place(overrides, estimate.checks, estimate.job, estimate.setting_out)
    missed = unmatched(estimate.checks, named)
    own = {at for at, each in enumerate(named) if each.option in ("", way.letter) and at not in missed}
    words = tuple(each for at, each in enumerate(named) if at in own)
    return replace(estimate, overridden=(*estimate.overridden, *words)), own


def _nowhere(word: CheckOverride) -> Sentence:
    named = {"code": repr(word.code), "place": repr(str(word.place))}
    if word.option:
        return say("no failed check {code} at {place} of option {option}", **named, option=word.option)
    return say("no failed check {code} at {place}", **named)
