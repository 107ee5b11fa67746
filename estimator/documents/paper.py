"""What a paper hands out of itself: its name, for whom it is, and each form it is written in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from estimator.comparison.records import Offer
from estimator.documents.header import Edition, OrderHeader, QuoteHeader
from estimator.orders import CommonCut, Delivery, OrderList, OrderLists

Audience = Literal["customer", "estimator", "engineer", "crew", "purchasing", "shop"]
WriteQuote = Callable[[Offer, QuoteHeader, Edition], bytes]
WriteOrder = Callable[[Sequence[OrderList], OrderHeader, Sequence[CommonCut]], bytes]
WriteWholeOrder = Callable[[OrderLists, OrderHeader], bytes]
WriteDelivery = Callable[[Delivery, OrderLists, OrderHeader], bytes]

PDF = "application/pdf"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
CSV = "text/csv"
XML = "application/xml"
ORDER_LIST = "order-list"


@dataclass(frozen=True, slots=True)
class QuoteForm:
    """One form of a paper of a quote.

    ``name`` is kept with what is handed out and never changes; ``file`` is the last part of its address; ``about`` says
    in one line what it is; ``title`` is what pages call it, marked for the catalogues. ``editions``: whether the
    estimator's differs from the customer's. ``link``: what answers call it, its name where nothing else is told.
    ``as_built``: whether it is of one option: the one asked for, else the one that was accepted.
    """

    name: str
    file: str
    media: str
    about: str
    title: str
    write: WriteQuote
    editions: bool = False
    link: str = ""
    as_built: bool = False

    @property
    def called(self) -> str:
        """What answers call it among their links."""
        return self.link or self.name


@dataclass(frozen=True, slots=True)
class OrderForm:
    """One form of a paper of an order list: of the whole list, of one supplier's, or of both.

    ``title`` is what pages call it. ``write`` takes suppliers' lists, their head, and what is cut from common bars
    (nothing for one supplier's part). ``of_supplier``: whether there is one for each supplier. ``to_one``: what is
    refused for several suppliers at once, as a sentence names it. ``early``: whether it is also written beside an
    estimate, before anything is ordered. ``write_whole`` writes the whole order where that holds more than the
    suppliers' parts of it, ``write_delivery`` one delivery where that holds more than what suppliers send.
    """

    name: str
    file: str
    media: str
    about: str
    title: str
    write: WriteOrder
    of_supplier: bool = True
    to_one: str = ""
    early: bool = False
    link: str = ""
    write_whole: WriteWholeOrder | None = None
    write_delivery: WriteDelivery | None = None

    @property
    def stem(self) -> str:
        """The file's name without its ending."""
        return self.file.rpartition(".")[0]

    @property
    def ending(self) -> str:
        """The file's ending."""
        return self.file.rpartition(".")[2]

    @property
    def called(self) -> str:
        """What answers call it among their links."""
        return self.link or self.name.replace(".", "_")

    def address(self, supplier: str) -> str:
        """Where one supplier's stands, below its order list: a file of the supplier's name, or of its own."""
        return f"{supplier}.{self.ending}" if self.stem == ORDER_LIST else f"{supplier}/{self.file}"


@dataclass(frozen=True, slots=True)
class QuotePaper:
    """A paper of a quote: its name, for whom it is, its forms."""

    name: str
    audience: tuple[Audience, ...]
    forms: tuple[QuoteForm, ...]


@dataclass(frozen=True, slots=True)
class OrderPaper:
    """A paper of an order list: its name, for whom it is, its forms."""

    name: str
    audience: tuple[Audience, ...]
    forms: tuple[OrderForm, ...]
