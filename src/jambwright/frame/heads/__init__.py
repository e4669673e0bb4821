"""The frame inside an opening whose head is no level line: every edge moved in by its joint.

The springing of the frame is where its head meets its jamb, which is seldom the opening's. Worked figures: geometry of
parallel curves (calculated).
"""

from jambwright.frame.heads.offset import head_offset
from jambwright.frame.heads.values import FrameHead, Head, HeadKind

__all__ = ["FrameHead", "Head", "HeadKind", "head_offset"]
