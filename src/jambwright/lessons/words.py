"""The sentences in which lessons are told, on the terminal and at the desk."""

from __future__ import annotations

from collections.abc import Iterator

from jambwright.lessons.bias import Line
from jambwright.lessons.fitted import NOT_NAMED, Chances, MakerLine
from jambwright.lessons.learning import Lessons, Tools
from jambwright.lessons.scatter import Difference, Scatter


def tool_words(tools: Tools) -> Iterator[str]:
    """Checks, what the readings scatter, and how tools differ, a line each."""
    for label, error in tools.checks:
        house = f"{label}: " if tools.houses > 1 else ""
        used = "its lengths are corrected by that" if error.counts else "nothing is corrected by it"
        sure = "" if error.sure else ", which may be the error of the check itself"
        yield f"{house}{error.words} by {error.by} ({error.between}){sure}; {used}."
    if tools.all is None or tools.all.found_mm is None:
        yield f"Openings read far enough: {tools.openings}. That is too little to tell how the readings scatter."
    else:
        where = "Y" if tools.houses == 1 else f"Over {tools.houses} houses y"
        yield f"{where}our readings scatter {_scatter_words(tools.all)}, by {tools.openings} openings."
    for group, kind in ((tools.by_tool, "Read with"), (tools.by_person, "Read by")):
        for one in group:
            if one.found_mm and (one.name != NOT_NAMED or len(group) > 1):
                yield f"{kind} {one.name}: lengths scatter {_scatter_words(one)}, by {one.openings} openings."
            if one.repeats_mm and one.interval_repeats_mm:
                low, high = one.interval_repeats_mm
                found = f"{one.repeats_mm:.1f} mm ({low:.1f} to {high:.1f})"
                yield f"{kind} {one.name}: repeats at one place scatter {found}."
    yield from (_difference_words(each) for each in tools.differences if not each.house)
    yield ALIKE
    for label, one in tools.by_house if tools.houses > 1 else ():
        if one.differs:
            yield f"{label}: readings scatter {_scatter_words(one)}."
    yield from (_difference_words(each) for each in tools.differences if each.house)


ALIKE = (
    "What all readings of a tape are wrong by alike, no survey shows: hold it against a steel rule and write "
    "what it says under the tool's check."
)


def _scatter_words(one: Scatter) -> str:
    low, high = one.interval_mm or (0.0, 0.0)
    trusted = f"not {one.trusted_mm:.1f}" if one.differs else f"as they are trusted with {one.trusted_mm:.1f}"
    return f"{one.found_mm:.1f} mm ({low:.1f} to {high:.1f}), {trusted}"


def _difference_words(each: Difference) -> str:
    where = f"{each.house}: " if each.house else "All houses: "
    low, high = each.interval_mm
    if not each.sure:
        within = f"{low:+.1f} to {high:+.1f} mm, {each.openings} openings"
        return f"{where}no difference can be told between {each.tool} and {each.beside} ({within})."
    way = "long" if each.bias_mm > 0 else "short"
    say = (
        f"{where}{each.tool} reads about {abs(each.bias_mm):.1f} mm {way} beside {each.beside} "
        f"({low:+.1f} to {high:+.1f} mm, {each.openings} openings). A known length tells which of them is right."
    )
    if (
        each.scale_ppm is not None
        and each.interval_ppm
        and not each.interval_ppm[0] <= 0 <= each.interval_ppm[1]
    ):
        say += f" It also differs by {each.scale_ppm / 1000:+.1f} mm a metre."
    return say


def lesson_words(lessons: Lessons) -> Iterator[str]:
    """What fitted frames teach, a line each."""
    yield f"{lessons.frames} fitted frames, {lessons.houses} house{'' if lessons.houses == 1 else 's'}."
    if lessons.found:
        for line in (*lessons.found.tools, *lessons.found.people):
            yield line_words(line)
        yield from lessons.found.say
    for maker in lessons.makers:
        yield maker_words(maker)
    yield from chance_words(lessons.chances)
    yield from lessons.left_out
    yield SENT_BACK


SENT_BACK = (
    "Frames that were sent back or never went in are not among them; with those the chances would look worse."
)


def line_words(line: Line) -> str:
    """One tool or person."""
    who = str(line.tool if line.person is None else line.person)
    if line.bias_mm is None or line.interval_mm is None:
        return f"{who}: {line.openings} openings. {line.why}"
    low, high = line.interval_mm
    way = "long" if line.bias_mm > 0 else "short"
    beside = " beside the others" if line.person is not None else ""
    scatter = ""
    if line.sd_mm is not None and line.interval_sd_mm:
        ends = line.interval_sd_mm
        scatter = f", scatters {line.sd_mm:.1f} mm ({ends[0]:.1f} to {ends[1]:.1f}) with its gaps"
    found = f"{who} reads {abs(line.bias_mm):.1f} mm {way}{beside} ({low:+.1f} to {high:+.1f}){scatter}"
    use = (
        "It may be adopted."
        if line.adopt and line.person is None
        else ""
        if line.adopt
        else f"Not adopted: {line.why}"
    )
    return f"{found}; {line.openings} openings. {use}".rstrip()


def maker_words(line: MakerLine) -> str:
    """Frames of one profile system."""
    if line.interval_mm is None or line.sd_mm is None:
        return f"Frames of {line.profile}: one was read; more are wanted."
    low, high = line.interval_mm
    return (
        f"Frames of {line.profile} came {line.bias_mm:+.1f} mm ({low:+.1f} to {high:+.1f}) beside what was ordered, "
        f"scatter {line.sd_mm:.1f} mm, {line.frames} sides as read on site."
    )


def chance_words(found: Chances) -> Iterator[str]:
    """Whether stated chances came true."""
    for line in found.lines:
        low, high = (100 * end for end in line.interval)
        held = "which holds" if line.holds else "which does NOT hold"
        yield (
            f"Stated {100 * line.least:g} to {100 * line.most:g} % (mean {100 * line.stated:.1f}): {line.went_in} of "
            f"{line.frames} went in, {low:.1f} to {high:.1f} % by that, {held}."
        )
    if found.score:
        yield (
            f"Score of the stated chances (Brier, 0 is best): {found.score.score:.4f}; always stating the share that "
            f"went in would score {found.score.uncertainty:.4f}."
        )
    if found.uncounted:
        yield f"{found.uncounted} frames are not counted: no chance was stated, or gaps were not read all round."
