"""What workers need, read once by the process they are branched off: imported for that alone, never by the server."""

from importlib import import_module

from jambwright.calc import MODULES
from jambwright.web import heavy

SLOW = (
    "scipy.optimize",
    "scipy.stats",
    "ortools.sat.python.cp_model",
    "highspy",
    "PIL.Image",
    "typst",
    "ezdxf",
    "openpyxl",
)

__all__ = ["heavy"]

for module in (*(f"jambwright.calc.{name}" for name in MODULES), *SLOW):
    import_module(module)
