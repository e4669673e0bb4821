"""What readings and fitted frames teach: how tools, people and makers err, and whether stated chances came true.

A fitted frame is a ruler left in the wall: its size and the gaps beside it give the true opening. Beside `job`, not
inside the stages: what is learned is told, and used only once a person has accepted it.
"""

from jambwright.lessons.bias import Compared, Found, Line, bias_of

__all__ = ["Compared", "Found", "Line", "bias_of"]
