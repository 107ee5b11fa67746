"""Where and by when an order is to be delivered."""

from __future__ import annotations

from collections.abc import Sequence

from estimator.job import Address, day_of
from estimator.orders.records import OrderedQuote, QuoteSite
from estimator.pricebook import Book


def place_of(quotes: Sequence[OrderedQuote], book: Book) -> Address:
    """The place to deliver to, in its parts: the site where all quotes share it, else the buyer's own."""
    sites = sites_of(quotes)
    if len(sites) == 1 and address_lines(sites[0]):
        return sites[0]
    buyer = book.seller
    return Address(buyer.address_lines, buyer.postcode, buyer.city, "", buyer.country)


def quote_sites(quotes: Sequence[OrderedQuote]) -> tuple[QuoteSite, ...]:
    """Where each quote's parts go, and when its site needs them."""
    return tuple(
        QuoteSite(
            quote.number,
            quote.estimate.job.reference or quote.estimate.job.title,
            quote.estimate.job.site.address,
            day_of(quote.estimate.job.site.needed_on),
            quote.estimate.job.notes,
        )
        for quote in quotes
    )


def delivery_of(quotes: Sequence[OrderedQuote], book: Book) -> tuple[tuple[str, ...], str]:
    """Lines and country of the place to deliver to: the site where all quotes share it, else the buyer's own place.

    Parts of several sites on one order cannot all go to the first site. Source: common practice, no source.
    """
    sites = sites_of(quotes)
    if len(sites) == 1:
        site = sites[0]
        if lines := address_lines(site):
            return lines, site.country
    buyer = book.seller
    place = Address((), buyer.postcode, buyer.city, "", buyer.country).town
    return tuple(text for text in (buyer.name, *buyer.address_lines, place) if text), buyer.country


def sites_of(quotes: Sequence[OrderedQuote]) -> tuple[Address, ...]:
    """The different site addresses, in the order of the quotes."""
    return tuple(dict.fromkeys(quote.estimate.job.site.address for quote in quotes))


def address_lines(address: Address) -> tuple[str, ...]:
    """An address as it stands on a label, without the country."""
    return tuple(text for text in (*address.lines, address.town) if text)
