"""Takes: the counts of a job and the book's activities.

Gives: hours by activity and their price.
May not: know parts or layouts.
"""
