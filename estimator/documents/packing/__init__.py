"""What is in which package, a shipment for each supplier; never a price."""

from estimator.documents.packing.paper import PAPER as PAPER
