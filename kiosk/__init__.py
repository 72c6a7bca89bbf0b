"""Prep Counter: one syringe, from a written order to a labelled, accounted-for syringe."""

__version__ = "0.1.0"
