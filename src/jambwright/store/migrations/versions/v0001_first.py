"""The first layout: houses, openings, changes, photos, plans, people, audit."""

import sqlalchemy as sa
from alembic import op

revision = "v0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make every table."""
    op.create_table(
        "audit",
        sa.Column("seq", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("address", sa.Text(), nullable=False),
        sa.Column("action", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_audit")),
    )
    op.create_table(
        "choices",
        sa.Column("house", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=20), nullable=False),
        sa.Column("tree", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("house", "name", name=op.f("pk_choices")),
    )
    op.create_table(
        "houses",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("label", sa.Text(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("head", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("practice", sa.Boolean(), nullable=False),
        sa.Column("removed", sa.Boolean(), nullable=False),
        sa.Column("created", sa.String(length=32), nullable=False),
        sa.Column("changed", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_houses")),
    )
    op.create_table(
        "invitations",
        sa.Column("secret", sa.String(length=64), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("expires", sa.String(length=32), nullable=False),
        sa.Column("used", sa.String(length=32), nullable=True),
        sa.PrimaryKeyConstraint("secret", name=op.f("pk_invitations")),
    )
    op.create_table(
        "people",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("role", sa.String(length=10), nullable=False),
        sa.Column("created", sa.String(length=32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_people")),
    )
    op.create_table(
        "changes",
        sa.Column("seq", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("house", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=True),
        sa.Column("path", sa.Text(), nullable=False),
        sa.Column("before", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("after", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("typed", sa.Text(), nullable=True),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("device", sa.String(length=64), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("received", sa.String(length=32), nullable=False),
        sa.Column("outcome", sa.String(length=8), nullable=False),
        sa.Column("undoes", sa.String(length=64), nullable=True),
        sa.Column("problems", sa.JSON(none_as_null=True), nullable=True),
        sa.ForeignKeyConstraint(["house"], ["houses.id"], name=op.f("fk_changes_house_houses")),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_changes")),
        sa.UniqueConstraint("id", name=op.f("uq_changes_id")),
    )
    op.create_index("ix_changes_house_path", "changes", ["house", "path"], unique=False)
    op.create_table(
        "openings",
        sa.Column("house", sa.String(length=32), nullable=False),
        sa.Column("mark", sa.String(length=16), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("tree", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("fitted", sa.JSON(none_as_null=True), nullable=True),
        sa.ForeignKeyConstraint(["house"], ["houses.id"], name=op.f("fk_openings_house_houses")),
        sa.PrimaryKeyConstraint("house", "mark", name=op.f("pk_openings")),
    )
    op.create_table(
        "photos",
        sa.Column("id", sa.String(length=64), nullable=False),
        sa.Column("house", sa.String(length=32), nullable=False),
        sa.Column("mark", sa.String(length=16), nullable=False),
        sa.Column("caption", sa.Text(), nullable=False),
        sa.Column("drawn", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("at", sa.String(length=32), nullable=False),
        sa.Column("width_px", sa.Integer(), nullable=False),
        sa.Column("height_px", sa.Integer(), nullable=False),
        sa.Column("place", sa.JSON(none_as_null=True), nullable=True),
        sa.Column("removed", sa.Boolean(), nullable=False),
        sa.Column("jpeg", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["house"], ["houses.id"], name=op.f("fk_photos_house_houses")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_photos")),
    )
    op.create_index(op.f("ix_photos_house"), "photos", ["house"], unique=False)
    op.create_table(
        "plans",
        sa.Column("id", sa.String(length=32), nullable=False),
        sa.Column("house", sa.String(length=32), nullable=False),
        sa.Column("version", sa.Integer(), nullable=False),
        sa.Column("made", sa.String(length=32), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("engine", sa.Text(), nullable=False),
        sa.Column("rules", sa.String(length=64), nullable=False),
        sa.Column("survey", sa.JSON(none_as_null=True), nullable=False),
        sa.Column("result", sa.JSON(none_as_null=True), nullable=False),
        sa.ForeignKeyConstraint(["house"], ["houses.id"], name=op.f("fk_plans_house_houses")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_plans")),
    )
    op.create_index(op.f("ix_plans_house"), "plans", ["house"], unique=False)
    op.create_table(
        "sessions",
        sa.Column("token", sa.String(length=64), nullable=False),
        sa.Column("person", sa.String(length=32), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("began", sa.String(length=32), nullable=False),
        sa.Column("expires", sa.String(length=32), nullable=False),
        sa.Column("ended", sa.String(length=32), nullable=True),
        sa.ForeignKeyConstraint(["person"], ["people.id"], name=op.f("fk_sessions_person_people")),
        sa.PrimaryKeyConstraint("token", name=op.f("pk_sessions")),
    )
    op.create_index(op.f("ix_sessions_person"), "sessions", ["person"], unique=False)
    op.create_table(
        "papers",
        sa.Column("plan", sa.String(length=32), nullable=False),
        sa.Column("name", sa.String(length=80), nullable=False),
        sa.Column("body", sa.LargeBinary(), nullable=False),
        sa.ForeignKeyConstraint(["plan"], ["plans.id"], name=op.f("fk_papers_plan_plans")),
        sa.PrimaryKeyConstraint("plan", "name", name=op.f("pk_papers")),
    )
