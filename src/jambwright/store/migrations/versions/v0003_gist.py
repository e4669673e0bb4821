"""A plan keeps beside it what lists need of it, and what it rests on."""

import sqlalchemy as sa
from alembic import op

revision = "v0003"
down_revision = "v0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Plans of before have none: what they rest on was not kept."""
    op.add_column("plans", sa.Column("gist", sa.JSON(none_as_null=True)))
