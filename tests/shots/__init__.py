"""Photographs of every screen, the states they show, and the taking of them."""
