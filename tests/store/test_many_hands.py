"""Many people on one house, on line and off, with kills and restores between, held against a simple model.

Nothing acknowledged is ever lost, nothing changes without history, every clash is open or settled by a person.
"""

import copy
import functools
import os
import shutil
import tempfile
from contextlib import suppress
from dataclasses import dataclass, field, replace
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    Bundle,
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from jambwright.store import (
    Change,
    NotThere,
    add_house,
    back_up,
    history,
    open_clashes,
    open_store,
    read_house,
    restore,
    take,
    undo,
)
from jambwright.store import replace as put_whole

RULES = int(os.environ.get("JAMBWRIGHT_RULES", "2000"))
"""How many rules are run; `make soak` runs many more."""
STEPS = 50
QUICK = "/dev/shm" if Path("/dev/shm").is_dir() else None
"""Memory in place of a disk, where there is such: a thousand commits an instant."""
WHOLE = 1_000_000
"""More rows than any history here has."""
PEOPLE = ("Ada", "Bo", "Cy")
FIELDS = (
    "/note",
    "/openings/W1/note",
    "/openings/W1/outside/width/top",
    "/openings/W1/outside/width/bottom",
    "/fitted/W1/fixings",
    "/openings/W2",
    "/openings/W2/note",
    "/fitted/W2/fixings",
)
TREE = {
    "jambwright": 1,
    "site": {"label": "1 Example Row (invented)"},
    "openings": [{"id": "W1", "room": "Kitchen", "outside": {}}],
}
HALL = {"id": "W2", "room": "Hall", "outside": {}}
VALUES = {
    "note": st.sampled_from(["dry", "damp", "half \ud83d", None]),
    "top": st.sampled_from([1200, 1201, [1200, 1202], {"mm": 1200, "who": "Ada"}, 12, "wide", float("nan"), None]),
    "bottom": st.sampled_from([1200, 1203, {"mm": 1203, "who": "Bo"}, 120000, None]),
    "fixings": st.sampled_from([4, 6, -1, 2.5, None]),
    "W2": st.sampled_from([HALL, HALL | {"note": "dark"}, HALL | {"id": "w2"}, None]),
}  # fmt: skip


def at(state, path):
    """What stands in a field of the model: a plain walk, with openings by mark."""
    _, *keys = path.split("/")
    for key in keys:
        state = (state or {}).get(key)
    return state


def put(state, path, value):
    """The model with a field changed."""
    _, *way, last = path.split("/")
    changed = copy.deepcopy(state)
    inside = changed
    for key in way:
        inside = inside.setdefault(key, {})
    inside.pop(last, None) if value is None else inside.__setitem__(last, copy.deepcopy(value))
    changed["fitted"] = {mark: read for mark, read in changed.get("fitted", {}).items() if read}
    return changed


def mended(value):
    return value.replace("\ud83d", "\ufffd") if isinstance(value, str) else value


def as_model(house):
    """The house as the store gives it, openings by mark."""
    return {
        **house.tree,
        "openings": {o["id"]: o for o in house.tree["openings"]},
        "fitted": dict(house.fitted),
    }


def agree(path, one, other):
    if path.split("/")[-1] in ("top", "bottom") and isinstance(one, dict) and isinstance(other, dict):
        return one["mm"] == other["mm"]
    return one == other


@dataclass
class Model:
    """What ought to be: the fields, each acknowledged change with its outcome, and the clashes left open."""

    state: dict
    done: dict = field(default_factory=dict)
    """By id: path, value and the outcome that was acknowledged."""
    clashes: dict = field(default_factory=dict)
    settled: set = field(default_factory=set)
    written: int = 0
    """Rows that the history must have."""


@dataclass
class Phone:
    """A phone with what it has seen, and what it has not sent or has had no answer for."""

    who: str
    seen: dict
    queue: list = field(default_factory=list)


class ManyHands(RuleBasedStateMachine):
    """The store under hands that know nothing of each other."""

    run = 0
    sent = Bundle("sent")

    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="jambwright-hands-", dir=QUICK))
        self.file = self.folder / "houses.db"
        self.lives = self.changes = 0

    @initialize()
    def begin(self):
        self.file.write_bytes(empty())
        self.store = open_store(self.file)
        self.house = add_house(self.store, TREE)
        self.other = add_house(self.store, TREE)
        self.model = Model(state=as_model(read_house(self.store, self.house)))
        self.phones = [Phone(who, copy.deepcopy(self.model.state)) for who in PEOPLE]
        self.backup = None

    def teardown(self):
        self.store.close()
        shutil.rmtree(self.folder)

    # what people do

    @rule(target=sent, n=st.integers(0, 2), path=st.sampled_from(FIELDS), data=st.data())
    def types(self, n, path, data):
        """A change is kept on the phone, made on what the phone shows."""
        self.counted()
        phone = self.phones[n]
        value = data.draw(VALUES[path.rsplit("/", 1)[-1]])
        change = self.change(phone, path, at(phone.seen, path), value)
        phone.queue.append(change)
        phone.seen = (
            put(phone.seen, path, mended(value)) if at(phone.seen, path.rsplit("/", 1)[0]) else phone.seen
        )
        return change

    @rule(target=sent, path=st.sampled_from(FIELDS), data=st.data())
    def writes_at_the_desk(self, path, data):
        """Someone with the house as it stands before them, never behind."""
        self.counted()
        return self.at_the_desk(path, data.draw(VALUES[path.rsplit("/", 1)[-1]]))

    @rule(target=sent, fixings=st.sampled_from([None, 4, 6]))
    def builds_a_hall_and_takes_it_away(self, fixings):
        """An opening comes, is fitted, and goes with what was read as fitted."""
        self.counted()
        if at(self.model.state, "/openings/W2") is None:
            return self.at_the_desk("/openings/W2", HALL)
        if fixings:
            return self.at_the_desk("/fitted/W2/fixings", fixings)
        return self.at_the_desk("/openings/W2", None)

    def at_the_desk(self, path, value):
        change = self.change(self.phones[0], path, at(self.model.state, path), value)
        _, [kept] = take(self.store, self.house, [change])
        self.acknowledged(change, kept)
        return change

    @rule(n=st.integers(0, 2), answered=st.booleans())
    def has_signal(self, n, answered):
        """All that waits is sent; where the answer is lost it stays, to be sent again."""
        self.counted()
        phone = self.phones[n]
        _, kept = take(self.store, self.house, phone.queue)
        for change, each in zip(phone.queue, kept, strict=True):
            self.acknowledged(change, each)
        if answered:
            phone.queue = []
            phone.seen = copy.deepcopy(self.model.state)

    @rule(n=st.integers(0, 2))
    def is_killed_half_way(self, n):
        """The program dies with changes half taken: none of them was acknowledged, none is there."""
        self.counted()
        phone = self.phones[n]

        class Died(BaseException):
            pass

        def some():
            yield from phone.queue
            raise Died

        with suppress(Died):
            take(self.store, self.house, some())

    @rule(change=sent)
    def sends_again(self, change):
        """What was acknowledged is answered as the first time."""
        self.counted()
        _, [kept] = take(self.store, self.house, [change])
        self.acknowledged(change, kept)

    @rule(change=sent, n=st.integers(0, 2), data=st.data())
    def lies(self, change, n, data):
        """Another change comes under an id that was used."""
        self.counted()
        value = data.draw(VALUES[change.path.rsplit("/", 1)[-1]])
        lie = replace(change, value=value, who=PEOPLE[n])
        if change.id not in self.model.done or mended(repr(value)) == mended(repr(change.value)):
            return
        before = len(history(self.store, self.house, limit=WHOLE))
        for _ in range(2):
            _, [kept] = take(self.store, self.house, [lie])
            assert (kept.id, kept.outcome) == (change.id, "refused")
        told = history(self.store, self.house, limit=WHOLE)
        assert len(told) - before in (0, 1)
        self.model.written += len(told) - before
        assert any(
            repr(mended(lie.value)) == repr(c.after) or c.after == "nan"
            for c in told
            if c.outcome == "refused"
        )

    @rule(change=sent)
    def is_used_in_another_house(self, change):
        """The same id in another house is another change, and no business of this one."""
        self.counted()
        before = history(self.store, self.house, limit=WHOLE)
        take(self.store, self.other, [change])
        assert history(self.store, self.house, limit=WHOLE) == before
        assert any(c.id == change.id for c in history(self.store, self.other, limit=WHOLE))

    @precondition(lambda self: self.model.clashes)
    @rule(data=st.data(), n=st.integers(0, 2), looked=st.booleans())
    def decides_a_clash(self, data, n, looked):
        """A person says which of two holds; by what stood there at the clash, or by what stands there now."""
        self.counted()
        clash = data.draw(st.sampled_from(list(self.model.clashes)))
        path, theirs, mine = self.model.clashes[clash]
        value = data.draw(st.sampled_from([theirs, mine]))
        was = at(self.model.state, path) if looked else theirs
        change = self.change(self.phones[n], path, was, value, settles=clash)
        _, [kept] = take(self.store, self.house, [change])
        self.acknowledged(change, kept)

    @rule(n=st.integers(0, 2), path=st.sampled_from(FIELDS), data=st.data())
    def claims_to_settle_what_is_none(self, n, path, data):
        """A change that names no clash of this field is looked at like any other."""
        self.counted()
        phone = self.phones[n]
        value = data.draw(VALUES[path.rsplit("/", 1)[-1]])
        change = self.change(phone, path, at(phone.seen, path), value, settles="never-was")
        _, [kept] = take(self.store, self.house, [change])
        self.acknowledged(change, kept)

    @rule(change=sent, who=st.sampled_from(PEOPLE))
    def undoes(self, change, who):
        """Only what was taken is put back, and only where nobody changed it since."""
        self.counted()
        path, _, outcome = self.model.done.get(change.id, (None, None, None))
        try:
            _, kept = undo(self.store, self.house, change.id, who=who, at="t", device="desk")
        except NotThere:
            assert outcome != "taken"
            return
        assert outcome == "taken"
        row = next(c for c in history(self.store, self.house, limit=WHOLE) if c.id == change.id)
        back = Change(id=kept.id, path=path, was=row.after, value=row.before, who=who, at="t", device="desk",
                      undoes=change.id)  # fmt: skip
        self.acknowledged(back, kept)

    @rule(note=st.sampled_from(["put in whole", "and again"]), keep_w2=st.booleans())
    def puts_the_whole_survey_in(self, note, keep_w2):
        """A survey sent whole is a change of every field that differs."""
        self.counted()
        tree = copy.deepcopy(dict(read_house(self.store, self.house).tree))
        tree["note"] = note
        if not keep_w2:
            tree["openings"] = [o for o in tree["openings"] if o["id"] == "W1"]
        _, kept = put_whole(self.store, self.house, tree, who="Ada", at="t", device="desk")
        state = self.model.state
        for each in kept:
            assert each.before == at(state, each.path)
            state = put(state, each.path, each.after)
            self.model.done[each.id] = (each.path, each.after, "taken")
        self.model.written += len(kept)
        self.model.state = state

    # what happens to the machine

    @rule(clean=st.booleans())
    def is_opened_again(self, clean):
        """Shut down, or killed: what lies on the disk at that moment is all there is."""
        self.counted()
        self.stopped(clean)
        self.store = open_store(self.file)

    def stopped(self, clean):
        if not clean:  # the files as they lie there now, the log beside the database
            self.lives += 1
            dead, self.file = self.file, self.folder / f"houses-{self.lives}.db"
            for ending in ("", "-wal", "-shm"):
                shutil.copyfile(f"{dead}{ending}", f"{self.file}{ending}")
        self.store.close()

    @rule()
    def is_backed_up(self):
        """A copy, with what it must hold."""
        self.counted()
        self.lives += 1
        backup = self.folder / f"copy-{self.lives}.db"
        back_up(self.file, backup)
        self.backup = (backup, copy.deepcopy(self.model))

    @precondition(lambda self: self.backup)
    @rule(clean=st.booleans())
    def is_restored(self, clean):
        """The copy takes the place of the database, which is moved aside whole."""
        self.counted()
        backup, model = self.backup
        held = history(self.store, self.house, limit=WHOLE)
        self.stopped(clean)
        _, aside = restore(backup, self.file)
        before = open_store(aside)
        assert history(before, self.house, limit=WHOLE) == held
        before.close()
        self.store = open_store(self.file)
        self.model = copy.deepcopy(model)

    # what must hold

    @invariant()
    def nothing_acknowledged_is_lost(self):
        house = read_house(self.store, self.house)
        assert as_model(house) == self.model.state
        told = {c.id: c for c in history(self.store, self.house, limit=WHOLE)}
        for change, (path, value, outcome) in self.model.done.items():
            kept = told[change]
            assert (kept.path, repr(kept.after)) == (path, repr(value))
            assert kept.outcome == ("settled" if change in self.model.settled else outcome)

    @invariant()
    def nothing_changes_without_history(self):
        """What stands there now is what the history leads to, and it has no more rows than were told."""
        told = sorted(history(self.store, self.house, limit=WHOLE), key=lambda c: c.seq)
        assert len(told) == self.model.written
        state = as_model_of_tree()
        for each in told:
            if each.outcome == "taken":
                assert at(state, each.path) == each.before
                state = put(state, each.path, each.after)
        assert state == self.model.state

    @invariant()
    def every_clash_is_open_or_decided_by_a_person(self):
        assert {c.id for c in open_clashes(self.store, self.house)} == set(self.model.clashes)

    # the model's own judgement

    def acknowledged(self, change, kept):
        """Hold an answer against what the model says of the change, and go on from there."""
        model = self.model
        value = (
            "nan"
            if isinstance(change.value, float) and change.value != change.value
            else mended(change.value)
        )
        if change.id in model.done:
            path, before, outcome = model.done[change.id]
            assert (kept.path, repr(kept.after)) == (path, repr(before))
            assert kept.outcome == ("settled" if change.id in model.settled else outcome)
            return
        standing = at(model.state, change.path)
        known = change.settles in model.clashes and model.clashes[change.settles][0] == change.path
        if agree(change.path, standing, value):
            expected = "same"
        elif not agree(change.path, standing, mended(change.was)):
            expected = "refused" if change.undoes else "clash"  # an undo asks nobody
        else:
            expected = "refused" if self.impossible(change.path, value) else "taken"
        assert kept.outcome == expected, (change, standing)
        if known and expected != "refused":
            del model.clashes[change.settles]
            model.settled.add(change.settles)
        if expected == "clash":
            model.clashes[change.id] = (change.path, standing, value)
        if expected == "taken":
            model.state = put(model.state, change.path, value)
            if (change.path, value) == ("/openings/W2", None) and at(model.state, "/fitted/W2"):
                model.state = put(model.state, "/fitted/W2", None)
                model.written += 1
        model.done[change.id] = (change.path, value, expected)
        model.written += 1

    def impossible(self, path, value):
        """What the readings refuse, told apart by eye: figures, names, and places in an opening that is not there."""
        if value is None:
            return False
        if (
            path in ("/openings/W2/note", "/fitted/W2/fixings")
            and at(self.model.state, "/openings/W2") is None
        ):
            return True
        if path.endswith(("top", "bottom")):
            figures = value.get("mm") if isinstance(value, dict) else value
            figures = figures if isinstance(figures, list) else [figures]
            return any(isinstance(f, str) or not 200 <= f <= 6000 for f in figures)
        if path.endswith("fixings"):
            return value < 0 or value != int(value)
        return path == "/openings/W2" and value["id"] != "W2"

    def change(self, phone, path, was, value, settles=None):
        self.changes += 1  # no chance in it, so that what fails can be tried again
        return Change(
            id=f"change-{self.changes}",
            path=path,
            was=was,
            value=value,
            who=phone.who,
            at="t",
            device=phone.who,
            settles=settles,
        )

    def counted(self):
        type(self).run += 1


def as_model_of_tree():
    return {**TREE, "openings": {o["id"]: o for o in TREE["openings"]}, "fitted": {}}


@functools.cache
def empty():
    """An empty database, made once: making one takes longer than all else."""
    with tempfile.TemporaryDirectory(dir=QUICK) as folder:
        open_store(file := Path(folder) / "empty.db").close()
        return file.read_bytes()


def test_many_hands_on_one_house():
    chosen = settings(
        max_examples=-(-RULES // STEPS), stateful_step_count=STEPS, deadline=None, report_multiple_bugs=False
    )
    while ManyHands.run < RULES:  # a house may see fewer than it could
        run_state_machine_as_test(ManyHands, settings=chosen)
