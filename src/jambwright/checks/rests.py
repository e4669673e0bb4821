"""What the checks of an ordered unit rest on: generic data that stand in for a maker's, or what he declares."""

from __future__ import annotations

from jambwright.basis.clause import Clause, weakest
from jambwright.checks.verdict import Rest
from jambwright.frame.profiles import ProfileSystem
from jambwright.readings.declared import Declared
from jambwright.readings.system_sheet import SystemSheet


def by_profile(profile: ProfileSystem, *, ask: str) -> Rest:
    """A figure of the sections a frame is made of."""
    if profile.source.how == "declared by the maker":
        return Rest(what=f"the maker's sheet, {profile.source.document}", how=profile.source.how)
    return Rest(what="a generic profile", how=profile.source.how, ask=ask, of_product=True)


def by_maker(declared: Declared) -> Rest:
    """A figure that the maker declares."""
    return Rest(what=f"the maker's declared value, {declared.by}", how="declared by the maker")


def by_sources(what: str, *sources: Clause, ask: str, of_product: bool = False) -> Rest:
    """Figures of several sources; as weak as the weakest of them."""
    return Rest(what=what, how=weakest(*(source.how for source in sources)), ask=ask, of_product=of_product)


def by_sheet(sheet: SystemSheet, *, ask: str) -> Rest:
    """What a system takes by its sheet."""
    what = "an invented sheet" if sheet.invented else f"the maker's sheet, {sheet.by}"
    return Rest(what=what, how=sheet.source.how, ask=ask, of_product=True)
