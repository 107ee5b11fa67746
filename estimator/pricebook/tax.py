"""Taxes as data: the rate, what it is on, and the rules by which a sale is exempt or its tax is owed by the customer.

Categories are those of UN/CEFACT code list 5305 as EN 16931 takes them: S standard rate, Z zero rate, E exempt, AE
reverse charge, K exempt intra-Community supply, G export, O outside the scope of the tax.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Taxed = Literal["parts", "freight", "labour", "contingency"]
TaxCase = Literal["exempt_customer", "intra_community_supply", "reverse_charge", "export"]
CASES: tuple[TaxCase, ...] = ("exempt_customer", "intra_community_supply", "reverse_charge", "export")
CATEGORIES = ("S", "Z", "E", "AE", "K", "G", "O")


@dataclass(frozen=True, slots=True)
class TaxRule:
    """In which case which amounts carry no tax of the seller's, under which category, with which note on papers.

    ``source`` names the law, and whether it is from memory.
    """

    case: TaxCase
    on: frozenset[Taxed]
    category: str
    note: str
    source: str = ""


@dataclass(frozen=True, slots=True)
class Tax:
    """A tax on parts of the quote. ``per``: rounded once on the total, or on each line and then summed.

    ``number_name`` is what the seller's tax number is called; ``rules`` those of the book; ``relieved`` those that hold
    for one sale, once a job is known.
    """

    name: str
    rate: Decimal
    on: frozenset[Taxed]
    per: Literal["total", "line"] = "total"
    number_name: str = ""
    category: str = "S"
    rules: tuple[TaxRule, ...] = ()
    relieved: tuple[TaxRule, ...] = ()

    @property
    def taxed(self) -> frozenset[Taxed]:
        """What carries the tax after every relief."""
        return self.on - frozenset[Taxed]().union(*(rule.on for rule in self.relieved))
