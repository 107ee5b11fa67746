"""What JSON says: the job, the choices, the offer, the quote, the order list, the cut list, the problem.

Takes: JSON documents, and records as the core and the service hand them out.
Gives: records or every fault at once, and JSON values for the API, the command line and the pages alike; both are
described by the schemas that read and write them. Conversions (units, counting from one) stand at this line only.
May not: compute, store, or know of HTTP beyond the numbers of its statuses.
"""
