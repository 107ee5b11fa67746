"""Takes: an offer and its quote's head.

Gives: what a quote says, whichever paper says it: lines, options, checks, scope; the head of a sheet that goes with it.
May not: compute or round an amount.
"""
