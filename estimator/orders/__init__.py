"""Takes: accepted quotes and what is in stock.

Gives: one order list per supplier, rounded to packs once, dated to meet the site; packages; savings of cutting together.
May not: price a quote anew.
"""

from estimator.orders.merge import make_order_lists as make_order_lists
from estimator.orders.records import Bars as Bars
from estimator.orders.records import CommonCut as CommonCut
from estimator.orders.records import CutCost as CutCost
from estimator.orders.records import OrderedQuote as OrderedQuote
from estimator.orders.records import OrderLine as OrderLine
from estimator.orders.records import OrderList as OrderList
from estimator.orders.records import OrderLists as OrderLists
from estimator.orders.records import QuoteShare as QuoteShare
