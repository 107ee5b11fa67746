"""Runs placed so that everything on them holds: place, check, shorten where a reaction asks for it, and again.

Takes a layout, what each roof may take and the spans that hold in each zone; gives runs with their attachments, and
the checks of their lines. May not: say in words what fails.
"""
