"""What readings and fitted frames teach: how tools, people and makers err, and whether stated chances came true.

A fitted frame is a ruler left in the wall: its size and the gaps beside it give the true opening. Beside `job`, not
inside the stages: what is learned is told, and used only once a person has accepted it.
"""

from jambwright.lessons.bias import Compared, Found, Line, bias_of
from jambwright.lessons.learning import Kept, Lessons, Tools, learn, learn_tools, learned, look_at_tools
from jambwright.lessons.words import chance_words, lesson_words, line_words, maker_words, tool_words

__all__ = [
    "Compared",
    "Found",
    "Kept",
    "Lessons",
    "Line",
    "Tools",
    "bias_of",
    "chance_words",
    "learn",
    "learn_tools",
    "learned",
    "lesson_words",
    "line_words",
    "look_at_tools",
    "maker_words",
    "tool_words",
]
