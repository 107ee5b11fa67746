"""Commands for whoever runs the service: ``serve``, ``work``, ``backup``, ``restore``, ``keys``, ``people``.

Take the database by its URL or folder; the demonstration organisation of ``serve --demo`` is set up here.
"""
