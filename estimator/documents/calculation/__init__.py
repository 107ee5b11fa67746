"""The load calculation an engineer follows, with every factor and clause."""
