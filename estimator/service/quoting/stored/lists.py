"""Quotes as those who work with them look for them: by words, state, customer, age, end, total; and what is urgent."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, Literal

from sqlalchemy import ColumnElement, Row, Select, case, func, select

from estimator.documents.header import QuoteState
from estimator.errors import NotFound
from estimator.sentences import say
from estimator.service.context import Client, ServiceContext
from estimator.service.quoting.stored.quotes import state_on
from estimator.storage.tables import OrderedQuoteRow, QuoteRow
from estimator.storage.tables.listings import QuoteListingRow

Order = Literal["newest", "ending", "largest", "smallest"]
Attention = Literal["ending", "failing", "to_order", "declined"]
"""Why a quote asks for attention: it expires soon, its checks keep it from being issued, it is accepted and not
ordered, or it was declined recently."""
SOON = timedelta(days=7)
LATELY = timedelta(days=56)
PAGE = 50
MOST_URGENT = 5
MOST_COUNTED = 500
"""A count this high means so many or more."""
L = QuoteListingRow
_COLUMNS: tuple[Any, ...] = (
    L.quote_id, L.number, L.revision, L.state, L.reference, L.title, L.customer, L.currency, L.total, L.errors,
    L.dated, L.valid_until, L.answered_at, L.prepared_by, OrderedQuoteRow.order_list_id,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class QuoteSearch:
    """What is looked for; what is left out does not narrow the list. ``page`` counts from 1."""

    words: str = ""
    state: QuoteState | None = None
    customer: str = ""
    within_days: int | None = None
    ending_days: int | None = None
    least: Decimal | None = None
    most: Decimal | None = None
    order: Order = "newest"
    page: int = 1


@dataclass(frozen=True, slots=True)
class QuoteListing:
    """One revision in a list, and why it asks for attention, if it does."""

    id: str
    number: str
    revision: int
    state: QuoteState
    reference: str
    title: str
    customer: str
    currency: str
    total: Decimal
    errors: int
    dated: date
    valid_until: date
    prepared_by: str
    order_list_id: str | None
    attention: Attention | None


@dataclass(frozen=True, slots=True)
class QuotePage:
    """A page of a list, and whether another follows."""

    quotes: tuple[QuoteListing, ...]
    page: int
    more: bool


@dataclass(frozen=True, slots=True)
class Urgent:
    """Quotes that ask for attention for one reason: the first few, and how many there are (``more``: or more)."""

    reason: Attention
    count: int
    quotes: tuple[QuoteListing, ...]

    @property
    def more(self) -> bool:
        """Whether there may be more than were counted."""
        return self.count >= MOST_COUNTED


def find_quotes(context: ServiceContext, client: Client, search: QuoteSearch) -> QuotePage:
    """A page of the quotes that fit."""
    today = context.today()
    statement = _listed(client).where(*_conditions(search, today)).order_by(*_order(search.order))
    statement = statement.limit(PAGE + 1).offset((search.page - 1) * PAGE)
    with context.looking_up() as connection:
        rows = connection.execute(statement).all()
    return QuotePage(tuple(_listing(row, today) for row in rows[:PAGE]), search.page, len(rows) > PAGE)


def urgent_quotes(context: ServiceContext, client: Client) -> tuple[Urgent, ...]:
    """What asks for attention, the reason that cannot wait first; reasons without a quote are left out."""
    today = context.today()
    found = []
    with context.looking_up() as connection:
        for reason, conditions in _reasons(today).items():
            count: int = connection.execute(_counted(client, conditions)).scalar_one()
            if count:
                statement = _listed(client).where(*conditions).order_by(*_first(reason)).limit(MOST_URGENT)
                rows = connection.execute(statement).all()
                found.append(Urgent(reason, count, tuple(_listing(row, today) for row in rows)))
    return tuple(found)


def quotes_to_order(context: ServiceContext, client: Client) -> tuple[QuoteListing, ...]:
    """Accepted quotes that no order list holds yet, those accepted longest ago first."""
    today = context.today()
    statement = _listed(client).where(*_reasons(today)["to_order"]).order_by(L.answered_at, L.quote_id).limit(500)
    with context.looking_up() as connection:
        return tuple(_listing(row, today) for row in connection.execute(statement).all())


def revisions_of(context: ServiceContext, client: Client, number: str) -> tuple[QuoteListing, ...]:
    """Every revision of a number, the first first."""
    statement = _listed(client).where(L.number == number).order_by(L.revision)
    with context.looking_up() as connection:
        return tuple(_listing(row, context.today()) for row in connection.execute(statement).all())


def quotes_of_job(context: ServiceContext, client: Client, job_id: str) -> tuple[QuoteListing, ...]:
    """The quotes of one job, the newest first."""
    of_job = select(QuoteRow.id).where(QuoteRow.job_id == job_id, QuoteRow.organisation_id == client.organisation)
    statement = _listed(client).where(L.quote_id.in_(of_job)).order_by(L.quote_id.desc()).limit(200)
    with context.looking_up() as connection:
        return tuple(_listing(row, context.today()) for row in connection.execute(statement).all())


def get_listing(context: ServiceContext, client: Client, quote_id: str) -> QuoteListing:
    """One quote as lists show it. Errors: NotFound."""
    with context.looking_up() as connection:
        row = connection.execute(_listed(client).where(L.quote_id == quote_id)).one_or_none()
    if row is None:
        raise NotFound(say("no such quote"))
    return _listing(row, context.today())


def _listed(client: Client) -> Select[Any]:
    joined = select(*_COLUMNS).outerjoin(OrderedQuoteRow, OrderedQuoteRow.quote_id == L.quote_id)
    return joined.where(L.organisation_id == client.organisation)


def _counted(client: Client, conditions: tuple[ColumnElement[bool], ...]) -> Select[Any]:
    """How many fit, counted no further than anybody needs to know."""
    found = select(L.waits_on).where(L.organisation_id == client.organisation, *conditions).limit(MOST_COUNTED)
    return select(func.count()).select_from(found.subquery())


def _conditions(search: QuoteSearch, today: date) -> list[ColumnElement[bool]]:
    found = [L.words.contains(word, autoescape=True) for word in search.words.casefold().split()[:8]]
    if search.state:
        found += _in_state(search.state, today, by_end=search.order == "ending")
    if search.customer:
        found.append(func.lower(L.customer).contains(search.customer.lower(), autoescape=True))
    if search.within_days is not None:
        found.append(L.dated >= today - timedelta(days=search.within_days))
    if search.ending_days is not None:
        found += [L.valid_until >= today, L.valid_until <= today + timedelta(days=search.ending_days)]
    if search.least is not None:
        found.append(L.total >= search.least)
    if search.most is not None:
        found.append(L.total <= search.most)
    return found


def _in_state(state: QuoteState, today: date, *, by_end: bool) -> list[ColumnElement[bool]]:
    """``by_end``: the list goes by the end of validity; else no database may look for that first, and then sort."""
    if state == "expired":
        return [(L.state == "expired") | ((L.state == "issued") & (L.valid_until < today))]
    if state != "issued":
        return [L.state == state]
    lasts = L.valid_until >= today
    return [L.state == state, lasts if by_end else case((lasts, 1), else_=0) == 1]


def _order(order: Order) -> tuple[ColumnElement[Any], ...]:
    orders: dict[Order, tuple[ColumnElement[Any], ...]] = {
        "newest": (L.quote_id.desc(),),
        "ending": (L.valid_until.asc(), L.quote_id.asc()),
        "largest": (L.total.desc(), L.quote_id.desc()),
        "smallest": (L.total.asc(), L.quote_id.asc()),
    }
    return orders[order]


def _reasons(today: date) -> dict[Attention, tuple[ColumnElement[bool], ...]]:
    return {
        "to_order": (L.waits_for == "to_order",),
        "ending": (L.waits_for == "ending", L.waits_on >= today, L.waits_on <= today + SOON),
        "failing": (L.waits_for == "failing", L.waits_on >= today),
        "declined": (L.waits_for == "declined", L.waits_on >= today - LATELY),
    }


def _first(reason: Attention) -> tuple[ColumnElement[Any], ...]:
    """What cannot wait stands first; of answers the latest."""
    if reason == "declined":
        return (L.waits_on.desc(), L.quote_id.desc())
    return (L.waits_on.asc(), L.quote_id.asc())


def _listing(row: Row[Any], today: date) -> QuoteListing:
    state = state_on(row, today)
    return QuoteListing(
        id=row.quote_id,
        number=row.number,
        revision=row.revision,
        state=state,
        reference=row.reference,
        title=row.title,
        customer=row.customer,
        currency=row.currency,
        total=row.total,
        errors=row.errors,
        dated=row.dated,
        valid_until=row.valid_until,
        prepared_by=row.prepared_by,
        order_list_id=row.order_list_id,
        attention=_attention(row, state, today),
    )


def _attention(row: Row[Any], state: QuoteState, today: date) -> Attention | None:
    if state == "accepted" and row.order_list_id is None:
        return "to_order"
    if state == "issued" and row.valid_until <= today + SOON:
        return "ending"
    return "failing" if state == "draft" and row.errors else None
