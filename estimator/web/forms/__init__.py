"""Takes: a document as the contract reads it, and what somebody typed into a form.

Gives: the fields of a form with their values in the units a person likes, and the document that the form stands for.
May not: judge a value (the contract does, and names the place), or know what a roof is.
"""
