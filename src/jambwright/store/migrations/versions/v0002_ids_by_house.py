"""The id of a change is its own within its house; odd characters kept by the first layout are mended."""

import json

import sqlalchemy as sa
from alembic import op

from jambwright.basis.characters import mended_tree

revision = "v0002"
down_revision = "v0001"
branch_labels = None
depends_on = None

TREES = {
    "houses": ("head",),
    "openings": ("tree", "fitted"),
    "changes": ("before", "after", "problems"),
    "photos": ("drawn", "place"),
    "plans": ("survey", "result"),
    "choices": ("tree",),
}
"""Columns of trees. Words beside them could never be kept with such a character."""
SUSPECT = ("%\\ud%", "%\\uD%", "%\\u0%", "%\\u1%", "%\\ufff%", "%NaN%", "%Infinity%")
"""How odd characters and figures stand in JSON; what else looks so is looked at and left."""


def upgrade() -> None:
    """Change what must be unique, then mend."""
    with op.batch_alter_table("changes") as changes:
        changes.drop_constraint("uq_changes_id", type_="unique")
        changes.create_unique_constraint("uq_changes_house", ["house", "id"])
    connection = op.get_bind()
    for name, columns in TREES.items():
        reflected = sa.Table(name, sa.MetaData(), autoload_with=connection)
        for column in columns:
            _mend(connection, reflected, column)


def _mend(connection: sa.Connection, table: sa.Table, column: str) -> None:
    as_text = sa.cast(table.c[column], sa.Text)
    keys = list(table.primary_key.columns)
    # no backslash may be an escape of LIKE itself
    suspects = sa.or_(*(as_text.like(each, escape="!") for each in SUSPECT))
    for row in connection.execute(sa.select(*keys, as_text.label("kept")).where(suspects)).all():
        kept = json.loads(row.kept)
        if repr(mended := mended_tree(kept)) != repr(kept):
            same = [key == getattr(row, key.name) for key in keys]
            value = sa.literal(mended, sa.JSON(none_as_null=True))
            connection.execute(table.update().where(*same).values({column: value}))
