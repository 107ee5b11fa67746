"""Takes: an offer (job, estimate, comparison) and a quote's head; order lists and their head.

Gives: the same content on every paper, as bytes; the same content, the same bytes. ``papers`` lists them all.
May not: compute or round an amount; what it shows stands in the offer.

A folder for each paper hands out one record (``paper``): name, for whom it is, and its forms, each with file, media
type and writer. Papers do not know each other. What two of them share lies below both: ``drawing`` (plans), ``sawing``
(saw lists), ``purchasing`` (orders), ``quoting`` (quotes), over the toolkits ``pdf``, ``xlsx``, ``xml``, ``fonts`` and
``language``.
"""
