"""Checks that do not hold, gathered by kind: one row for each kind, every place of it on the calculation sheet."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from estimator.comparison.records import Offer
from estimator.documents.language.texts import Reader, mark
from estimator.documents.language.words import check_where
from estimator.errors import Finding
from estimator.estimate import Estimate
from estimator.sentences import Sentence, say

ENGINEERS = frozenset({"coefficient_unconfirmed", "zone_layout_unconfirmed", "test_series_scattered"})
"""Doubts about sources that an engineer clears up; a customer cannot."""
OF_THE_HOUSE = frozenset({"country_not_given", "units_of_another_system"})
"""Doubts about how the job was posted; they are told to the house, on its own papers."""
LISTING = frozenset({"expansion_splice_near_attachment"})
"""Checks of an array whose words list many places on its rails."""
ELSEWHERE = say("see the calculation sheet")
ENGINEERS_ROW = "for the engineer"


@dataclass(frozen=True, slots=True)
class CheckRow:
    """A failed check, and the override of the estimator, if there is one."""

    severity: str
    message: str
    reason: str = ""
    by: str = ""


def checks_of_options(offer: Offer, reader: Reader) -> tuple[CheckRow, ...]:
    """The checks of the quoted way, then those that another option has besides, under its letter."""
    rows = checks_by_kind(offer.estimate, reader)
    others = [
        replace(row, message=f"{reader.texts.t('Option {letter}', letter=option.letter)}: {row.message}")
        for option in offer.options
        for row in checks_by_kind(option.estimate, reader)
        if row not in rows
    ]
    return (*rows, *others)


def checks_by_kind(estimate: Estimate, reader: Reader) -> tuple[CheckRow, ...]:
    """Errors and warnings, one row for each kind, with the estimator's word where one lets it stand.

    What only an engineer can clear up is told in one row: the calculation sheet lists every place of every kind. What
    is about costs is told on the estimator's papers only.
    """
    words = {(word.code, word.place): word for word in estimate.overridden}
    kinds: dict[tuple[str, str, str, str], list[Finding]] = defaultdict(list)
    for check in estimate.checks:
        if check.severity != "note" and not check.tells_cost and check.code not in OF_THE_HOUSE:
            word = words.get((check.code, check.place))
            for_engineer = check.severity == "warning" and check.code in ENGINEERS
            told = (word.reason, word.by) if word else ("", "")
            kind = ENGINEERS_ROW if for_engineer else check.code
            kinds[kind, _severity(check, word is not None), *told].append(check)
    return tuple(
        CheckRow(reader.texts.t(severity), _gathered(code, found, reader), reason, by)
        for (code, severity, reason, by), found in kinds.items()
    )


def _gathered(code: str, found: Sequence[Finding], reader: Reader) -> str:
    """The first check of a kind, and at how many places more it stands."""
    if code == ENGINEERS_ROW:
        return reader.texts.tn(
            "One figure is to be compared with the printed standard by the engineer: see the calculation sheet.",
            "{count} figures are to be compared with the printed standard by the engineer: see the calculation sheet.",
            len(found),
        )
    first = check_where(_without_places(found[0]), reader)
    if len(found) == 1:
        return first
    more = reader.texts.tn(
        "and at one more place, see the calculation sheet", "and at {count} more places, see the calculation sheet",
        len(found) - 1,
    )  # fmt: skip
    return f"{first}; {more}"


def _without_places(check: Finding) -> Finding:
    """A check that lists its places itself with a word of where they stand instead."""
    if check.code not in LISTING or not isinstance(check.message, Sentence):
        return check
    values = ((name, ELSEWHERE if name == "places" else value) for name, value in check.message.values)
    return replace(check, message=Sentence(check.message.template, values))


def _severity(check: Finding, overridden: bool) -> str:
    if check.severity == "warning":
        return mark("Warning")
    return mark("Failed; overridden") if overridden else mark("Failed")
