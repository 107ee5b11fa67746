"""Takes: words on the command line.

Gives: documents in a folder, lists of faults people can read, JSON where a program reads; exit status 2 for bad input.
May not: compute; it calls the same functions as the service.
"""

from estimator.cli.main import main as main
