"""The setting-out sheet for the crew: string lines, offsets, checks, and the plan."""
