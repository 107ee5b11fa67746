"""What is in which package, a shipment for each supplier; never a price."""
