import pytest

from jambwright.store import open_store
from jambwright.store.tables import metadata
from postgres_server import postgres_server


@pytest.fixture(scope="session")
def postgres_url():
    with postgres_server() as url:
        yield url


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def opened(request, tmp_path_factory):
    if request.param == "sqlite":
        store = open_store(tmp_path_factory.mktemp("store") / "houses.db")
    else:
        store = open_store(request.getfixturevalue("postgres_url"))
    yield store
    store.close()


@pytest.fixture
def store(opened):
    """An empty store of either kind."""
    yield opened
    with opened.writing() as connection:
        for table in reversed(metadata.sorted_tables):
            connection.execute(table.delete())
