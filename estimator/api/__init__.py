"""Takes: HTTP requests and the service.

Gives: JSON over HTTP: schemas that turn what is posted into records, problems, one file for each resource.
May not: compute; a view reads, calls one function of the service, presents.
"""
