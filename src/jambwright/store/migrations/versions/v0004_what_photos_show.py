"""What a photo was marked to show."""

import sqlalchemy as sa
from alembic import op

revision = "v0004"
down_revision = "v0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Photos of before show nothing that was marked."""
    shows = sa.Column("shows", sa.JSON(none_as_null=True), nullable=False, server_default="[]")
    with op.batch_alter_table("photos") as photos:
        photos.add_column(shows)
