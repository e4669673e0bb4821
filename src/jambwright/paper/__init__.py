"""What people hold: drawings and papers, made from a record alone. Paper formats; it never computes or chooses."""

from jambwright.paper.every_paper import PAPERS, printed

__all__ = ["PAPERS", "printed"]
