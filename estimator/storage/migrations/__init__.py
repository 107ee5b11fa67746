"""The forms the tables have had, oldest first; each step can be taken forth and back."""
