"""The sheets an engineer reads: loads, checks, reactions and setting-out."""
