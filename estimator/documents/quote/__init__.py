"""The quote for the customer, as PDF."""
