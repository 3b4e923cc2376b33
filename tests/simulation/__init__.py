"""Invented arms under the rules for a year: what must never happen, and how long it takes.

The arms are a toy, not a model of tendon: capacity that follows what is asked of it, irritation that
answers overload and fades, patients who skip and forget. Nothing about real arms follows from the
times that come out; they show that the rules hold together, and how two pain policies differ on the
same arms. All figures of the toy are invented.
"""
