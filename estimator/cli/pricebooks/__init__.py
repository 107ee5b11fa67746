"""Commands for whoever keeps a pricebook: ``check-pricebook`` and ``new-pricebook``.

Take a folder; give every fault of its files at once, what it changes against another edition, or a first pricebook.
"""
