"""Where the joints of a member may stand on a lattice of lengths, and the cheapest way through them.

Takes members with their windows and a lattice (a unit of length, tenths of a millimetre); gives position graphs, and
shortest paths over all of them at once when every size of piece has its price.
"""
