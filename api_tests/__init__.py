"""Takes: a running service. Gives: whether it keeps its word over HTTP. May not: import the package."""
