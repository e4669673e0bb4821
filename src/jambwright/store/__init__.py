"""The disk: houses with their openings, every change ever made to them, photos, plans, people.

The survey tree is the source of truth and is given back as it was put in. Nothing a person sent is
dropped: a change that can't be taken is kept beside the others with the reason. One writer at a time.
"""

from jambwright.store.audit import AuditLine, Refusal, audit_lines, note, note_refusals
from jambwright.store.changes import (
    Change,
    Kept,
    history,
    new_id,
    open_clashes,
    put,
    rename_opening,
    replace,
    replace_fitted,
    take,
    undo,
)
from jambwright.store.choices import choose, chosen, chosen_at
from jambwright.store.copies import Holds, back_up, restore, verify
from jambwright.store.database import Store, is_postgres, now, open_store
from jambwright.store.folder import write_file
from jambwright.store.houses import (
    House,
    HouseLine,
    NotThere,
    Outdated,
    add_house,
    house_lines,
    house_version,
    new_tree,
    read_house,
    read_houses,
    remove_house,
    require_version,
    restore_house,
)
from jambwright.store.paper_set import look_through, require_folder, write_folder
from jambwright.store.people import (
    ROLES,
    Login,
    Person,
    Role,
    end_session,
    invite,
    is_known,
    join,
    login_of,
    logins,
    person_of,
)
from jambwright.store.photos import Photo, change_photo, house_photos, keep_photo, photo_jpeg
from jambwright.store.plans import (
    PlanLine,
    house_plans,
    keep_plan,
    newest_plans,
    paper,
    paper_names,
    plan_result,
    tables_fingerprint,
)
from jambwright.store.rewritten import rewritten
from jambwright.store.schedule import Backups
from jambwright.store.sent_again import AnotherHouse, add_house_once
from jambwright.store.trees import plain, to_yaml
from jambwright.store.trouble import NoRoom

__all__ = [
    "ROLES",
    "AnotherHouse",
    "AuditLine",
    "Backups",
    "Change",
    "Holds",
    "House",
    "HouseLine",
    "Kept",
    "Login",
    "NoRoom",
    "NotThere",
    "Outdated",
    "Person",
    "Photo",
    "PlanLine",
    "Refusal",
    "Role",
    "Store",
    "add_house",
    "add_house_once",
    "audit_lines",
    "back_up",
    "change_photo",
    "choose",
    "chosen",
    "chosen_at",
    "end_session",
    "history",
    "house_lines",
    "house_photos",
    "house_plans",
    "house_version",
    "invite",
    "is_known",
    "is_postgres",
    "join",
    "keep_photo",
    "keep_plan",
    "login_of",
    "logins",
    "look_through",
    "new_id",
    "new_tree",
    "newest_plans",
    "note",
    "note_refusals",
    "now",
    "open_clashes",
    "open_store",
    "paper",
    "paper_names",
    "person_of",
    "photo_jpeg",
    "plain",
    "plan_result",
    "put",
    "read_house",
    "read_houses",
    "remove_house",
    "rename_opening",
    "replace",
    "replace_fitted",
    "require_folder",
    "require_version",
    "restore",
    "restore_house",
    "rewritten",
    "tables_fingerprint",
    "take",
    "to_yaml",
    "undo",
    "verify",
    "write_file",
    "write_folder",
]
