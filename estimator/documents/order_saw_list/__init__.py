"""What the saw cuts where rails of several quotes come from common bars."""

from estimator.documents.order_saw_list.paper import PAPER as PAPER
