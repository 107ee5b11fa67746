"""Loads by EN 1990, EN 1991-1-3 and EN 1991-1-4: recommended values, national ones where they are given.

Takes the site, a plane and the module; gives its Pressures. May not know another standard's room.
"""
