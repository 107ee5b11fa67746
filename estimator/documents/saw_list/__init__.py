"""What the saw cuts for one job, on paper for the shop."""
