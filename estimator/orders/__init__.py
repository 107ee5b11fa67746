"""Takes: accepted quotes, what is in stock, and off-cuts in the yard.

Gives: one order list per supplier, packs rounded once, dated to meet the site; packages; what cutting together saves.
May not: price a quote again.
"""

from estimator.orders.change_orders import EarlierOrder as EarlierOrder
from estimator.orders.change_orders import change_of as change_of
from estimator.orders.common_cut.cut_together import cut_together as cut_together
from estimator.orders.deliveries.by_site import Delivery as Delivery
from estimator.orders.deliveries.by_site import Pick as Pick
from estimator.orders.deliveries.by_site import deliveries_of as deliveries_of
from estimator.orders.deliveries.by_site import notes_of as notes_of
from estimator.orders.merge import make_order_lists as make_order_lists
from estimator.orders.packages import Content as Content
from estimator.orders.packages import PackageGroup as PackageGroup
from estimator.orders.packages import Packing as Packing
from estimator.orders.packages import PackingRules as PackingRules
from estimator.orders.packages import pack as pack
from estimator.orders.records import Bars as Bars
from estimator.orders.records import CommonCut as CommonCut
from estimator.orders.records import CutCost as CutCost
from estimator.orders.records import CutSheet as CutSheet
from estimator.orders.records import OffcutHeap as OffcutHeap
from estimator.orders.records import OffcutsOnHand as OffcutsOnHand
from estimator.orders.records import OrderedQuote as OrderedQuote
from estimator.orders.records import OrderLine as OrderLine
from estimator.orders.records import OrderList as OrderList
from estimator.orders.records import OrderLists as OrderLists
from estimator.orders.records import QuoteShare as QuoteShare
from estimator.orders.records import QuoteSite as QuoteSite
