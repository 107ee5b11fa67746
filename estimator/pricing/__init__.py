"""Takes: what is ordered, freight and labour.

Gives: a priced bill, exact to the minor unit, every step in its order.
May not: count, or round anything twice.
"""

from estimator.pricing.findings import money_findings as money_findings
from estimator.pricing.price import check_choices as check_choices
from estimator.pricing.price import price as price
from estimator.pricing.records import PricedBill as PricedBill
from estimator.pricing.records import PricedLine as PricedLine
from estimator.pricing.records import Totals as Totals
from estimator.pricing.unit_prices import price_from_cost as price_from_cost
from estimator.pricing.unit_prices import unit_cost as unit_cost
from estimator.pricing.unit_prices import unit_price_of as unit_price_of
