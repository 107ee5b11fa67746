"""A workbook that an estimator sends back: read against its own quote, checked, and made a revision of that quote.

The revision is priced by the same edition and mounted as it was; another edition is a revision of its own. Where the
quote was revised meanwhile, the workbook is refused, or, where that is asked for, its changes are laid over the newest
revision as long as they touch other cells than those changed meanwhile.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.comparison import offer_again
from estimator.comparison.records import Offer
from estimator.documents.workbook import drafted
from estimator.documents.workbook_reading import Account, Change, WorkbookChanges, account, read_workbook
from estimator.errors import ChoiceRefused, Fault, NotAllowed, Refused, StaleWorkbook
from estimator.job import Choices
from estimator.sentences import Sentence, joined, placed, say
from estimator.service.access.scopes import may
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.quoting.quotes import PricingRequest, Revision, keep_revision, last_revision, signed
from estimator.service.quoting.stored.quotes import WholeQuote, find_quote, lock_number, whole
from estimator.storage import tables

ReadPricing = Callable[[Any, Any], PricingRequest]
"""Reads a job's document and choices as they were posted."""


@dataclass(frozen=True, slots=True)
class ReturnedWorkbook:
    """The revision made from a workbook, what was taken and not taken, and the account between both totals."""

    quote: WholeQuote
    changes: WorkbookChanges
    account: Account


@dataclass(frozen=True, slots=True)
class WorkbookLookedInto:
    """What a workbook would make of its quote, before anything is stored; ``base`` is the revision it is laid over."""

    base: WholeQuote
    pricing: PricingRequest
    offer: Offer
    changes: WorkbookChanges
    account: Account


def look_into_workbook(
    context: ServiceContext, client: Client, workbook: tuple[str, bytes, bool], read_pricing: ReadPricing
) -> WorkbookLookedInto:
    """What the cells that were changed in a workbook would make of its quote; nothing is stored.

    Errors: as ``revise_by_workbook``.
    """
    if not may(client, "costs:read"):
        raise NotAllowed(say("the role {role} cannot change prices", role=Sentence(client.role)))
    quote_id, content, merge = workbook
    with context.reading() as session:
        old = whole(session, find_quote(session, client, quote_id), context.today())
        newest = _newest(session, context, client, old)
    changes = changes_in(content, old)
    base = _base(old, newest, changes, merge=merge)
    estimate = base.offer.estimate
    before = replace(estimate.choices, overrides=base.offer.overridden)
    choices = signed(changes.applied(before), client, base.offer.overridden)
    pricing = read_pricing(base.card.job_document, choices_with(base.card.choices, before, changes))
    stands = estimate.provenance
    in_force = estimate.book.valid_from <= context.today() <= estimate.book.valid_until
    offer = offer_again(base.offer, choices, context.today() if in_force else stands.priced_on, context.searches)
    return WorkbookLookedInto(base, pricing, offer, changes, account(changes, old.offer, base.offer, offer))


def revise_by_workbook(
    context: ServiceContext,
    client: Client,
    workbook: tuple[str, bytes, bool],
    read_pricing: ReadPricing,
    store: StoreResponse,
) -> ReturnedWorkbook:
    """A new draft from the cells that were changed in a workbook.

    Args:
        context: the service's.
        client: who sends it.
        workbook: id of the quote it is of, the file, and whether to merge it with a later revision.
        read_pricing: reads job and choices.
        store: keeps the response.

    Errors: NotAllowed for whoever may not see costs, NotFound, Refused for what is no workbook of this quote or holds
    no change, ChoiceRefused with every fault, StaleWorkbook where the quote was revised meanwhile.

    """
    looked = look_into_workbook(context, client, workbook, read_pricing)
    with context.writing() as session:
        row = lock_number(session, client, looked.base.card.id)
        if last_revision(session, client, row.number) != looked.base.card.revision:
            raise StaleWorkbook(
                say("quote {number} was revised while this workbook was read; send it again", number=row.number)
            )
        made: list[ReturnedWorkbook] = []

        def stored(at: Session, kept: Any) -> None:  # noqa: ANN401
            made.append(ReturnedWorkbook(kept, looked.changes, looked.account))
            store(at, made[0])

        keep_revision(session, context, client, Revision(row, looked.pricing, looked.offer), stored)
        return made[0]


def _newest(session: Session, context: ServiceContext, client: Client, old: WholeQuote) -> WholeQuote:
    """The newest revision of a quote's number."""
    quote = tables.QuoteRow
    statement = select(quote).where(quote.organisation_id == client.organisation, quote.number == old.card.number)
    row = session.scalars(statement.order_by(quote.revision.desc()).limit(1)).one()
    return old if row.id == old.card.id else whole(session, row, context.today())


def _base(old: WholeQuote, newest: WholeQuote, changes: WorkbookChanges, *, merge: bool) -> WholeQuote:
    """The revision that the changes are laid over. Errors: StaleWorkbook."""
    if newest.card.id == old.card.id:
        return old
    meanwhile = cells_changed(old.offer, newest.offer, old, newest)
    both = {key_of(change) for change in changes.changes} & set(meanwhile)
    if merge and not both:
        return newest
    told = [
        *(
            Fault(each.cell, say("in this workbook: {change}", change=_change(key_of(each), each.old, each.new)))
            for each in changes.changes
        ),
        *(
            Fault(
                cell,
                say("in revision {revision}: {change}", revision=newest.card.revision, change=_change(key, was, now)),
            )
            for key, (cell, was, now) in meanwhile.items()
        ),
    ]
    revised = say(
        "quote {number} was revised since: the workbook is of revision {old}, the newest is {newest}",
        number=old.card.number,
        old=old.card.revision,
        newest=newest.card.revision,
    )
    clash = [say("both change {names}", names=joined(", ", (_name(*key) for key in sorted(both))))] if both else []
    raise StaleWorkbook(joined("; ", (revised, *clash)), told)


def _change(key: Key, was: object, now: object) -> Sentence:
    return say("{name} from {was} to {now}", name=_name(*key), was=_said(was), now=_said(now))


Key = tuple[str, str]


def key_of(change: Change) -> Key:
    """Which cell of a quote's workbook a change is about: a part and a field, or a check."""
    if change.check is not None:
        return f"{change.check[0]} {change.check[1]}", change.field
    return change.part, "ordered" if change.field in ("added_part", "struck") else change.field


def cells_changed(
    before: Offer, after: Offer, old: WholeQuote, newest: WholeQuote
) -> dict[Key, tuple[str, object, object]]:
    """The cells that may be filled in and that differ between two revisions, with what stood and stands in them."""
    was, now = _cells(before, old), _cells(after, newest)
    return {
        key: (now.get(key, was.get(key, ("", None)))[0], was.get(key, ("", None))[1], now.get(key, ("", None))[1])
        for key in (*was, *(key for key in now if key not in was))
        if was.get(key, ("", None))[1] != now.get(key, ("", None))[1]
    }


def _cells(offer: Offer, of: WholeQuote) -> dict[Key, tuple[str, object]]:
    found: dict[Key, tuple[str, object]] = {}
    for entry in drafted(offer, of.header, "estimator").entries:
        if entry.added_row is None and entry.field not in ("struck", "reason"):
            part = f"{entry.check[0]} {entry.check[1]}" if entry.check else entry.part
            found[part, entry.field] = f"{entry.sheet}!{entry.cell}", entry.held
    return found


def _name(part: str, field: str) -> Sentence:
    name = Sentence(field.replace("_", " "))
    return joined(", ", (part, name)) if part else name


def _said(value: object) -> str:
    return say("nothing") if value in (None, "") else str(value)[:60]


def changes_in(content: bytes, whole: WholeQuote) -> WorkbookChanges:
    """Every change in the workbook of a quote.

    Refuses a broken file, one of another quote or of an older revision, entries that cannot be taken (all at once), and
    a workbook in which nothing was changed that may be.
    """
    changes = read_workbook(content, whole.offer, whole.header)
    if changes.faults:
        raise ChoiceRefused(say("the workbook holds entries that cannot be taken"), changes.faults)
    if not changes.changes:
        raise Refused(say("nothing that may be changed was changed in the workbook"), list(_left(changes)))
    return changes


def _left(changes: WorkbookChanges) -> Iterator[Fault]:
    for each in changes.not_taken:
        why = say("{found} is not taken: {reason}", found=repr(each.found), reason=each.reason)
        yield Fault(each.cell, placed(each.name, why))


def choices_with(document: Mapping[str, Any] | None, before: Choices, changes: WorkbookChanges) -> dict[str, Any]:
    """The choices of the quote, as they were posted, with the workbook's changes laid over them."""
    choices = changes.applied(before)
    laid: dict[str, Any] = dict(document or {})
    for name in ("margin", "discount", "contingency"):
        rate = getattr(choices, name)
        if rate is not None:
            laid[name] = f"{rate:f}"
    laid["freight"], laid["labour"] = choices.freight, choices.labour
    laid["line_discounts"] = {part: f"{rate:f}" for part, rate in choices.line_discounts}
    laid["line_changes"] = [
        {
            "part": line.part,
            "ordered": line.ordered,
            "unit_price": None if line.unit_price is None else f"{line.unit_price:f}",
            "struck": line.struck,
            "reason": line.reason,
        }
        for line in choices.line_changes
    ]
    laid["overrides"] = [
        {
            "code": each.code,
            "place": each.place.facts(),
            "reason": each.reason,
            **({"option": each.option} if each.option else {}),
        }
        for each in choices.overrides
    ]
    return laid
