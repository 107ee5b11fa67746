"""Commands that work on a job or a cut list: ``quote``, ``loads``, ``cut``, ``sample-job``, ``demo``.

Take a JSON file; give documents in a folder, or what was found as text or JSON.
"""
