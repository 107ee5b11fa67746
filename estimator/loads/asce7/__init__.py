"""Loads by ASCE 7-16 and 7-22, in the standard's US form: wind on parallel roof panels (29.4.4), snow (chapter 7).

Takes the site, a plane and the module; gives its Pressures. May not know another standard's room.
"""
