"""What is answered about order lists: their lines, deliveries and common cuts."""
