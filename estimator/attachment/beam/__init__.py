"""The rail as a continuous beam on rigid supports, thousands of beams at once.

Takes beams (supports, stretches of uniform load, stiffness); gives reactions, moments, deflections. Theory: the
three-moment equation for the moments at supports, then statics and integration piece by piece. Knows no roofs.
"""
