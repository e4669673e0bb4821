"""The frame inside a shaped opening, whatever its head: the list of heads, and what is refused of all."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from jambwright.basis.problems import BadInput
from jambwright.basis.units import show_mm
from jambwright.basis.working import Working
from jambwright.frame.heads.arcs import circle, quarter_circle, segmental, three_centred, two_centred
from jambwright.frame.heads.others import ellipse, gable, raked
from jambwright.frame.heads.values import HAIR, FrameHead, Head


def head_offset(head: Head, work: Working | None = None) -> FrameHead:
    """The frame that keeps the joints. ``BadInput`` where no such head can be, or no frame is left."""
    if head.sides_mm * 2 >= head.span_mm:
        raise BadInput.one(
            "sides_mm", f"sides_mm: two joints of {show_mm(head.sides_mm)} mm leave nothing of a span of "
            f"{show_mm(head.span_mm)} mm."
        )  # fmt: skip
    found = _HEADS[head.kind](head, work or Working())
    for name, mm in (("jamb", found.jamb_mm), ("rise", found.rise_mm), ("overall", found.overall_mm)):
        if mm < -HAIR or (name == "overall" and mm <= HAIR):
            raise BadInput.one(
                "springing_mm" if name == "jamb" else "rise_mm",
                f"{'springing_mm' if name == 'jamb' else 'rise_mm'}: the joints leave no {_WORDS[name]} "
                f"({show_mm(mm)} mm). Make the joints smaller, or have the maker draw the frame.",
            )
    return found


_WORDS = {"jamb": "jamb under the head", "rise": "rise of the head", "overall": "height of the frame"}

_HEADS: Mapping[str, Callable[[Head, Working], FrameHead]] = {
    "segmental": segmental,
    "semicircular": segmental,
    "two_centred": two_centred,
    "three_centred": three_centred,
    "ellipse": ellipse,
    "quarter_circle": quarter_circle,
    "circle": circle,
    "raked": raked,
    "gable": gable,
}
