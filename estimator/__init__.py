"""Materials takeoff and cost estimating for module arrays on ribbed metal roofs."""

__version__ = "0.1.0"
