"""Will it do: wind, glass, members, fixings, heat, regulations and lifting, each giving verdicts."""

from jambwright.checks.verdict import AGAINST, GRAVITY, Verdict, Word, gravest

__all__ = ["AGAINST", "GRAVITY", "Verdict", "Word", "gravest"]
