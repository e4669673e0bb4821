"""Jambwright: tape readings of a house in; order sizes, checks, a fitting plan and papers out."""

__version__ = "0.2.0"
