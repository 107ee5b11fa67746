"""Takes: long calculations, and operations that wait.

Gives: a pool of processes beside the web's threads, and workers that do operations, each once, by leases.
May not: know of HTTP; compute an amount.
"""
