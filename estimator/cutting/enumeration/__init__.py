"""All patterns that a cheaper plan may still use, where they are few enough to list, and what decides among them.

Reduced-cost fixing under prices that proved a bound leaves few patterns near that bound. Over these a linear program is
tightened by Chvatal-Gomory cuts and branched on, every node's bound in whole numbers, so an exhausted tree is a proof.
"""
