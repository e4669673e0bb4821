"""What people hold: drawings and papers, made from a record alone. Paper formats; it never computes or chooses."""

from jambwright.paper.every_paper import PAPERS, printed
from jambwright.paper.labels import label_sheets, labels_pdf

__all__ = ["PAPERS", "label_sheets", "labels_pdf", "printed"]
