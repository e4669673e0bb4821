"""Write a small database of the schema in force as SQL text, for tests/data/released; once for each revision.

    python scripts/kept_dump.py tests/data/released/houses-v0004.sql

The file of an earlier revision is never written again: it is what a database of that version was.
"""

from __future__ import annotations

import sqlite3
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from jambwright import store as kept
from survey_trees import AS_FITTED, TREE

AT = "2026-03-02T10:00:00Z"
WIDTH = "/openings/W1/outside/width/bottom"


def main() -> None:
    """Fill a database by way of the store and write it out."""
    out = Path(sys.argv[1])
    if out.exists():
        raise SystemExit(f"{out} is there already; a dump is written once.")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "houses.db"
        store = kept.open_store(file)
        fill(store)
        store.close()
        with closing(sqlite3.connect(file)) as connection:
            out.write_text("\n".join(connection.iterdump()) + "\n")


def fill(store: kept.Store) -> None:
    """Something in every table, and a change of every outcome."""
    house = kept.add_house(store, TREE)
    kept.replace_fitted(store, house, {"W1": AS_FITTED}, who="Ada", at=AT, device="desk")
    kept.take(store, house, [_change("a", WIDTH, 1210, 1208), _change("b", WIDTH, 1210, 1218, who="Bo"),
                             _change("c", WIDTH, 1208, [1208, 1218], settles="change-b"),
                             _change("d", "/note", "something else", "clash left open"),
                             _change("e", WIDTH, [1208, 1218], "wide"),
                             _change("f", "/site/altitude_m", 80, 80)])  # fmt: skip
    kept.undo(store, house, "change-a", who="Ada", at=AT, device="desk")
    photo = kept.Photo(id="p1", house=house, mark="W1", caption="crack", drawn=[[[0.1, 0.2], [0.3, 0.4]]],
                       shows=["damp"], who="Ada", at=AT, width_px=4, height_px=3, place=[51.5, -3.2])  # fmt: skip
    kept.keep_photo(store, photo, bytes(range(16)))
    papers = {"plan.json": b"{}", "order.csv": "blåst;1".encode()}
    kept.keep_plan(store, kept.read_house(store, house), "Ada", {"openings": []}, papers, {"days": None})
    kept.choose(store, "days", {"from": "2026-05-04"}, who="Ada", house=house)
    kept.choose(store, "prices", {"vat_percent": 20}, who="Ada")
    kept.join(store, kept.invite(store, name="Ada", role="fitter"), device="phone")
    kept.invite(store, name="Bo", role="read_only")
    kept.note(store, who="Ada", address="127.0.0.1", action="joined", subject="phone")
    gone = kept.add_house(store, kept.new_tree("2 Example Row (invented)"), practice=True)
    kept.remove_house(store, gone)


def _change(name: str, path: str, was: object, value: object, **more: str) -> kept.Change:
    given = {"who": "Ada", "at": AT, "device": "phone-a", "id": f"change-{name}", "typed": None} | more
    return kept.Change(path=path, was=was, value=value, **given)  # type: ignore[arg-type]  # texts, all of them


if __name__ == "__main__":
    main()
