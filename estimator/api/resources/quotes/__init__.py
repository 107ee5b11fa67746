"""Quotes over HTTP: pricing and revising them, their answers, their documents, and re-pricing the open ones."""
