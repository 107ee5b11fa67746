"""Where editions stand: put in, approved by a second person where the house wants it, withdrawn, told when in force."""

from __future__ import annotations

from typing import Literal

from sqlalchemy import select
from sqlalchemy.orm import Session

from estimator.errors import Conflict, NotAllowed, NotFound
from estimator.pricebook import Book
from estimator.sentences import say
from estimator.service.access.approvals import made_by_same
from estimator.service.access.audit import Thing, write_down
from estimator.service.access.policy import find_policy
from estimator.service.access.scopes import may
from estimator.service.context import Client, ServiceContext, StoreResponse
from estimator.service.outbox.events import publish
from estimator.storage import tables
from estimator.storage.tables import EditionStandingRow, SeenEditionRow


def put_in(session: Session, context: ServiceContext, client: Client, book: Book) -> None:
    """An edition was put in: it waits where the house wants a second person, else it is approved."""
    key = (client.organisation, book.id, book.edition)
    if session.get(EditionStandingRow, key) is not None:
        return
    waits = find_policy(session, client.organisation).editions_need_approval
    row = EditionStandingRow(organisation_id=client.organisation, pricebook=book.id, edition=book.edition)
    row.standing, row.put_in_by, row.reason = "waiting" if waits else "approved", client.id, ""
    row.valid_from, row.updated_at = book.valid_from, context.clock()
    session.add(row)
    session.flush()


def approve_edition(
    context: ServiceContext, client: Client, named: tuple[str, str], reason: str, store: StoreResponse
) -> Book:
    """Approve an edition that another person uploaded. Errors: NotFound, Conflict, NotAllowed for one's own."""
    book = context.catalogue.get(client.organisation, *named)
    with context.writing() as session:
        row = session.get(EditionStandingRow, (client.organisation, *named), with_for_update=True)
        if row is None or row.standing != "waiting":
            withdrawn = row is not None and row.standing == "withdrawn"
            raise Conflict(
                say("the edition is withdrawn already") if withdrawn else say("the edition is approved already")
            )
        if row.put_in_by is not None and made_by_same(session, client, row.put_in_by):
            raise NotAllowed(say("nobody approves what they put in themselves, nor with a key that they made"))
        _decide(session, context, client, row, ("approved", reason))
        store(session, book)
        return book


def withdraw_edition(
    context: ServiceContext, client: Client, named: tuple[str, str], reason: str, store: StoreResponse
) -> Book:
    """Withdraw an edition: nothing new is priced by it, quotes made with it stay. Errors: NotFound, Conflict."""
    book = context.catalogue.get(client.organisation, *named)
    with context.writing() as session:
        row = session.get(EditionStandingRow, (client.organisation, *named), with_for_update=True)
        if row is None:
            row = EditionStandingRow(organisation_id=client.organisation, pricebook=named[0], edition=named[1])
            row.valid_from = book.valid_from
            session.add(row)
        elif row.standing == "withdrawn":
            raise Conflict(say("the edition is withdrawn already"))
        _decide(session, context, client, row, ("withdrawn", reason))
        store(session, book)
        return book


EditionDeed = Literal["approve", "withdraw", "reprice"]


def deeds_of(client: Client, standing: str) -> frozenset[EditionDeed]:
    """What whoever asks may do with an edition that stands so; that it is one's own is told when it is tried."""
    stands: dict[EditionDeed, tuple[bool, str]] = {
        "approve": (standing == "waiting", "pricebooks:approve"),
        "withdraw": (standing != "withdrawn", "pricebooks:write"),
        "reprice": (standing == "approved", "repricings:make"),
    }
    return frozenset(deed for deed, (holds, scope) in stands.items() if holds and may(client, scope))


def edition_before(context: ServiceContext, client: Client, book: Book) -> str | None:
    """The edition of the same book whose first day is the last before that of ``book``; nothing where there is none.

    One that is withdrawn prices nothing, so nothing is compared with it unless it is named.
    """
    found = [each for each in context.catalogue.summaries(client.organisation) if each.standing != "withdrawn"]
    earlier = [each for each in found if each.id == book.id and each.valid_from < book.valid_from]
    return max(earlier, key=lambda each: each.valid_from).edition if earlier else None


def tell_in_force(context: ServiceContext) -> int:
    """Tell once of each edition that a house put in and whose first day has come; how many were told.

    One whose last day is over by then is looked at once and told to nobody.
    """
    row, today = EditionStandingRow, context.today()
    due = select(row.organisation_id, row.pricebook, row.edition).where(
        row.standing == "approved", row.in_force_told_at.is_(None), row.put_in_by.is_not(None), row.valid_from <= today
    )
    with context.reading() as session:
        keys = [tuple(each) for each in session.execute(due.limit(100))]
    return sum(_tell(context, key) for key in keys) + _tell_shared(context)


def _tell_shared(context: ServiceContext) -> int:
    """Tell every house once of shared editions whose first day has come, or that were put into a folder after it.

    Those in force when the service first looks for an organisation are not reported.
    """
    today = context.today()
    there = {(e.id, e.edition) for e in context.catalogue.shared() if e.valid_from <= today <= e.valid_until}
    row, own = SeenEditionRow, EditionStandingRow
    with context.reading() as session:
        houses = session.execute(select(tables.OrganisationRow.id, tables.OrganisationRow.editions_seen_at)).all()
        seen = {tuple(each) for each in session.execute(select(row.organisation_id, row.pricebook, row.edition))}
        stands = select(own.organisation_id, own.pricebook, own.edition)
        seen |= {tuple(each) for each in session.execute(stands)}
    return sum(
        _tell_house(context, house, new)
        for house, looked_at in houses
        if (new := [each for each in sorted(there) if (house, *each) not in seen]) or looked_at is None
    )


def _tell_house(context: ServiceContext, house: str, new: list[tuple[str, str]]) -> int:
    with context.writing() as session:
        row = session.get_one(tables.OrganisationRow, house, with_for_update=True)
        first, row.editions_seen_at = row.editions_seen_at is None, row.editions_seen_at or context.clock()
        late = [each for each in new if session.get(SeenEditionRow, (house, *each)) is None]
        for pricebook, edition in late:
            session.add(
                SeenEditionRow(organisation_id=house, pricebook=pricebook, edition=edition, seen_at=context.clock())
            )
        for each in () if first else late:
            _publish(session, context, house, each)
        return 0 if first else len(late)


def _tell(context: ServiceContext, key: tuple[str, ...]) -> bool:
    with context.writing() as session:
        row = session.get(EditionStandingRow, key, with_for_update=True)
        if row is None or row.standing != "approved" or row.in_force_told_at is not None:
            return False
        row.in_force_told_at = context.clock()
        organisation, *named = key
        if _is_over(context, organisation, (named[0], named[1])):
            return False
        _publish(session, context, organisation, (named[0], named[1]))
        return True


def _is_over(context: ServiceContext, organisation: str, named: tuple[str, str]) -> bool:
    """Whether an edition's last day has passed before it could be told, or its files are gone."""
    try:
        return context.catalogue.get(organisation, *named).valid_until < context.today()
    except NotFound:
        return True


def _publish(session: Session, context: ServiceContext, house: str, named: tuple[str, str]) -> None:
    pricebook, edition = named
    links = {"edition": f"/v1/pricebooks/{pricebook}/editions/{edition}"}
    document = {"pricebook": pricebook, "edition": edition, "state": "in_force", "links": links}
    publish(session, context, house, "edition.in_force", f"{pricebook}/{edition}", document)


def _decide(
    session: Session, context: ServiceContext, client: Client, row: EditionStandingRow, decision: tuple[str, str]
) -> None:
    row.standing, row.reason = decision
    row.decided_by, row.decided_at, row.updated_at = client.name, context.clock(), context.clock()
    session.flush()
    thing = Thing("edition", f"{row.pricebook}/{row.edition}")
    write_down(session, context, client, f"edition.{row.standing}", thing, {"why": row.reason})
