"""Whatever is in a file, its reader answers or refuses in words; `make fuzz` does the same for as long as wanted."""

import pytest

import fuzz


@pytest.mark.parametrize("reader", fuzz.READERS)
def test_a_spoilt_file_is_read_or_refused_in_words(reader):
    assert [(wrong, content[:200]) for content, wrong in fuzz.faults(reader, cases=120, seed=7)] == []


def test_a_reader_that_breaks_is_found(monkeypatch):
    monkeypatch.setitem(fuzz.READERS, "csv", lambda content: content[10_000_000])
    found = [wrong for _, wrong in fuzz.faults("csv", cases=3)]
    assert found == ["IndexError: index out of range"] * 3
