"""The sheets of the cut plan and of what is sawn."""
