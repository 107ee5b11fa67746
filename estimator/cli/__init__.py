"""Takes: words on the command line.

Gives: documents in a folder, lists of faults people can read, JSON where a program reads; exit status 2 for bad input.
May not: compute; it calls the same functions as the service. What a command works with is imported inside its
functions, so that help and small commands are there at once; nowhere else in the package are imports inside functions.
"""

from estimator.cli.main import main as main
