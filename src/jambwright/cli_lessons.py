"""The terminal's commands for what houses teach: how tools err, and what fitted frames tell of them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from jambwright.cli_houses import DATA, Data
from jambwright.terminal import problems_told, text_of, tree_of

if TYPE_CHECKING:
    from jambwright.lessons import Kept

Files = Annotated[
    list[str] | None, typer.Argument(help="Readings files; the houses that are kept when left out.")
]


def tools(houses: Files = None, data: Data = str(DATA)) -> None:
    """Say how tapes and people read, by checks, repeats and residuals.  Example: jambwright tools house.yaml."""
    from jambwright.lessons import look_at_tools, tool_words
    from jambwright.readings.survey_file import read_survey

    with problems_told():
        if houses:
            surveys = [read_survey(text_of(file)) for file in houses]
            left: list[str] = []
        else:
            kept, left = _of_store(data)
            surveys = [house.survey for house in kept]
        typer.echo("\n".join([*tool_words(look_at_tools(surveys)), *left]))


def lessons(
    houses: Files = None,
    data: Data = str(DATA),
    adopt: Annotated[
        str | None, typer.Option("--adopt", help="Keep what is told of this tool as the firm's own.")
    ] = None,
    by: Annotated[str, typer.Option("--by", help="Who adopts it.")] = "office",
) -> None:
    """Say what fitted frames teach; HOUSE.fitted.yaml beside HOUSE.yaml holds a file's gaps.

    Example: jambwright lessons --adopt "tape B" --by Office.
    """
    from jambwright.lessons import learn, lesson_words

    if adopt and houses:
        raise typer.BadParameter(
            "what is adopted is kept with the houses: leave the files out.", param_hint="--adopt"
        )
    with problems_told():
        if adopt:
            typer.echo(_adopted(data, adopt, by))
            return
        kept, left = ([_of_files(file) for file in houses], []) if houses else _of_store(data)
        typer.echo("\n".join([*lesson_words(learn(kept)), *left]))


def _of_files(file: str) -> Kept:
    from jambwright.basis.border import accept
    from jambwright.lessons import Kept
    from jambwright.readings.fitted import AsFitted
    from jambwright.readings.survey_file import read_survey

    beside = Path(file).with_suffix(".fitted.yaml")
    fitted = {mark: accept(AsFitted, tree) for mark, tree in tree_of(str(beside)).items()}
    return Kept(survey=read_survey(text_of(file)), fitted=fitted)


def _of_store(data: str) -> tuple[list[Kept], list[str]]:
    from jambwright.store import open_store
    from jambwright.web.kept_lessons import kept_houses

    store = open_store(data)
    try:
        return kept_houses(store)
    finally:
        store.close()


def _adopted(data: str, tool: str, by: str) -> str:
    from jambwright.store import open_store
    from jambwright.web.kept_lessons import adopt, adopted, sure_of

    store = open_store(data)
    try:
        line = sure_of(store, tool)
        adopt(store, line, who=by)
        kept = json.dumps(adopted(store)[tool])
    finally:
        store.close()
    return (
        f"Adopted for {tool}: {line.why} Plans made with these houses correct its lengths by that. In a readings file "
        f"write under the tool: learned: {kept}"
    )


def write_demo_houses(file: Path) -> int:
    """Thirty invented houses with frames as fitted in a new database; how many. Raises ``BadInput``."""
    from jambwright.basis.problems import BadInput
    from jambwright.lessons.made_up import made_up_houses
    from jambwright.store import add_house, now, open_store, replace_fitted

    if file.exists():
        raise BadInput.one("houses", f"{file} exists already; name a new file.")
    made = made_up_houses()
    store = open_store(file)
    try:
        for tree, fitted in made:
            house = add_house(store, tree)
            replace_fitted(store, house, fitted, who="Invented", at=now(), device="demo")
    finally:
        store.close()
    return len(made)
