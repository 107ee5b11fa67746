"""Takes: the service's description and the service.

Gives: pages for people in a browser, with nothing from any other host.
May not: compute; know the API's code.
"""
