"""What is answered about pricebook editions, and what changes from one to the next."""
