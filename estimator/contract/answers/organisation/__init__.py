"""What is answered about an organisation: its keys, policy, and audit log."""
