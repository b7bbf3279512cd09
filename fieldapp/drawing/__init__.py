"""Drawings as pure geometry: plain numbers in dp, colours by token name, no toolkit.

``run`` lays out the boxes; ``ribbon``, ``falling``, ``gauge``, ``knots``, ``fit`` and ``arrow`` turn
them into a ``Picture`` of the primitives in ``shapes``; ``svg`` writes one as text.
"""
