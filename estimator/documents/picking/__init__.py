"""Takes: suppliers' order lists with the sites of their quotes.

Gives: the pick list, a page for each delivery: what goes to one site by one day, to be ticked off.
May not: show a price.
"""

from estimator.documents.picking.paper import PAPER as PAPER
