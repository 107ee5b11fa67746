"""A quote as its page shows it: what the papers say, in the language and units of whoever looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from estimator.comparison.records import Offer, QuotedOption
from estimator.contract.answers.writing import dump
from estimator.documents.drawing.plan import Box, Drawn, drawn_of
from estimator.documents.drawing.spots import spot_of
from estimator.documents.language.texts import BookTexts, Reader, reader_for
from estimator.documents.language.words import check_where
from estimator.documents.papers import QUOTE_FORMS
from estimator.documents.quoting.content import quote_content
from estimator.errors import NEVER_OVERRIDDEN, Finding
from estimator.estimate import Estimate
from estimator.job import Address
from estimator.service.quoting.stored.quotes import WholeQuote
from estimator.web.plan_view import roof_views
from estimator.web.visits import Visit
from estimator.web.words import PageWords

MOST_CHECKS, MOST_OF_A_WAY = 150, 20
"""Checks that the page shows of the quote, and of each other way to build it."""
COUNTED = ("modules", "attachments", "runs", "mid_clamps", "end_clamps", "splices", "expansion_splices", "pieces")


@dataclass(frozen=True, slots=True)
class CheckView:
    """One check: its words, where it is on the plan, whether it still stands against issuing, and who lets it stand."""

    code: str
    severity: str
    text: str
    named: str
    roof: int | None
    box: str
    standing: bool
    may_override: bool
    reason: str = ""
    by: str = ""


@dataclass(frozen=True, slots=True)
class CheckKind:
    """Checks of one code and standing: the first in full, the others at their places behind it."""

    first: CheckView
    more: tuple[CheckView, ...]


def quote_view(visit: Visit, whole: WholeQuote) -> dict[str, Any]:
    """Everything the page of a quote shows besides the frame."""
    offer = for_reader(visit, whole.offer)
    header = replace(whole.header, language=visit.language)
    reader = page_reader(visit, offer)
    drawn = drawn_of(offer.estimate)
    own = check_views(offer.estimate, drawn, reader)
    against = [*(check for check in own if check.standing), *checks_of_options(offer, reader)]
    checks = [*against, *(check for check in own if not check.standing)]
    return {
        "card": whole.card,
        "content": quote_content(offer, header),
        "estimate": offer.estimate,
        "totals": offer.estimate.bill.totals,
        "told": reader,
        "counts": offer.estimate.counts.counts,
        "counted": COUNTED,
        "roofs": roof_views(drawn, reader),
        "checks": by_kind(checks[:MOST_CHECKS]),
        "checks_shown": min(len(checks), MOST_CHECKS),
        "checks_count": len(checks),
        "most_of_a_way": MOST_OF_A_WAY,
        "standing": sum(check.standing for check in checks),
        "letters": offer.letters,
        "quoted_options": (QuotedOption(offer.letters[0], "", offer.estimate), *offer.options),
        "papers": tuple(QUOTE_FORMS.values()),
        "facts": f"/quotes/{whole.card.id}/plan-facts",
    }


def for_reader(visit: Visit, offer: Offer) -> Offer:
    """The offer, its quantities in the units that whoever looks likes, its numbers as their language writes them."""
    assert visit.person is not None
    estimate = offer.estimate
    customer = replace(estimate.job.customer, address=Address())
    job = replace(estimate.job, display_units=visit.person.units, customer=customer)
    return replace(offer, estimate=replace(estimate, job=job))


def page_reader(visit: Visit, offer: Offer) -> Reader:
    """Words of the pages and of the offer's book, in the language of whoever looks."""
    estimate = offer.estimate
    reader = reader_for(visit.language, "", estimate.job.display_units, estimate.book.texts)
    return replace(reader, texts=PageWords(reader.texts.locale))


def house_reader(visit: Visit, texts: BookTexts | None = None) -> Reader:
    """Words and numbers of whoever looks, where no book is at hand; ``texts``: those of one, where they were kept."""
    assert visit.person is not None
    reader = reader_for(visit.language, "", visit.person.units, texts)
    return replace(reader, texts=PageWords(reader.texts.locale))


def check_views(estimate: Estimate, drawn: Drawn, reader: Reader) -> Sequence[CheckView]:
    """Every check, the gravest first, as they stand in the estimate otherwise."""
    order = {"error": 0, "warning": 1, "note": 2}
    standing = {id(check) for check in estimate.errors}
    words = {(word.code, word.place): word for word in estimate.overridden}
    views = []
    for check in sorted(estimate.checks, key=lambda check: order.get(check.severity, 3)):
        word = words.get((check.code, check.place))
        spot = spot_of(drawn, check.place)
        views.append(
            CheckView(
                code=check.code,
                severity=check.severity,
                text=check_where(check, reader),
                named=_named(check),
                roof=spot[0] if spot else None,
                box=_box(spot[1]) if spot else "",
                standing=id(check) in standing,
                may_override=check.code not in NEVER_OVERRIDDEN,
                reason=word.reason if word else "",
                by=word.by if word else "",
            )
        )
    return views


def checks_of_options(offer: Offer, reader: Reader) -> list[CheckView]:
    """What keeps the further options from being issued and does not stand against option A, too."""
    told = {(check.code, check.place) for check in offer.estimate.errors}
    return [
        CheckView(
            code=check.code,
            severity=check.severity,
            text=f"{reader.texts.t('Option')} {way.letter}: {check_where(check, reader)}",
            named=_named(check, way.letter),
            roof=None,
            box="",
            standing=True,
            may_override=check.code not in NEVER_OVERRIDDEN,
        )
        for way in offer.options
        for check in way.estimate.errors
        if (check.code, check.place) not in told
    ]


def by_kind(checks: Sequence[CheckView]) -> list[CheckKind]:
    """Checks of one kind together; each that keeps the quote from being issued stands alone, to be answered for."""
    kinds: dict[tuple[object, ...], list[CheckView]] = {}
    for at, check in enumerate(checks):
        key = (at,) if check.standing else (check.code, check.severity, check.reason, check.by)
        kinds.setdefault(key, []).append(check)
    return [CheckKind(first, tuple(more)) for first, *more in kinds.values()]


def _named(check: Finding, option: str = "") -> str:
    named = {"code": check.code, "place": check.place.facts(), **({"option": option} if option else {})}
    return dump(named).decode()


def _box(box: Box) -> str:
    return ",".join(f"{number:.1f}" for number in box)
