"""Loads that an engineer gave: taken as they are, nothing added and nothing factored."""
