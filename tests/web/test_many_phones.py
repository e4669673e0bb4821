import pytest

from jambwright.store import open_store
from phones import missing_afterwards, run_phones
from postgres_server import postgres_server
from web_server import Running


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_every_reading_acknowledged_to_any_phone_is_there_afterwards(kind, tmp_path):
    if kind == "sqlite":
        _many(tmp_path / "houses.db")
    else:
        with postgres_server() as url:
            _many(url)


def _many(data):
    store = open_store(data)
    running = Running(store)
    tally, houses = run_phones(running.address, store, phones=8, seconds=3, pause_s=0.05, looking=2)
    running.stop()
    assert len(tally.acknowledged) >= 8
    assert tally.unanswered == 0
    assert missing_afterwards(store, tally, houses) == []
    store.close()
