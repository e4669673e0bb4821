"""Texts: all in one file, all there, none left over, none written into a page or a script."""

import json
import re
from importlib import resources
from pathlib import Path

import pytest

WEB = Path(str(resources.files("jambwright.web")))
TEXTS = json.loads((WEB / "static" / "texts.json").read_text(encoding="utf-8"))
SOURCES = [*WEB.glob("*.py"), *WEB.glob("static/*.js"), *WEB.glob("templates/*.html")]
ALL = "\n".join(path.read_text(encoding="utf-8") for path in SOURCES)

WHOLE = set(re.findall(r"""["'`]([a-z_]+(?:\.[a-z0-9_]+)+)["'`]""", ALL)) | {"yes", "no"}
BEGINNINGS = (
    set(re.findall(r"`([a-z_]+(?:\.[a-z_]+)*\.)\$\{", ALL))
    | set(re.findall(r"""["']([a-z_]+(?:\.[a-z_]+)*\.)["'] ~""", ALL))
    | set(re.findall(r"""(?:say|get)\(f"([a-z_]+(?:\.[a-z_]+)*\.)\{""", ALL))
)


def test_every_text_asked_for_is_there():
    asked = set(re.findall(r"""\bsay\(\s*["']([a-z_.]+)["']\s*[,)]""", ALL))
    assert len(asked) > 150
    assert asked <= set(TEXTS)
    for beginning in BEGINNINGS:
        assert any(key.startswith(beginning) for key in TEXTS), beginning


def test_no_text_is_left_over():
    unused = [
        key for key in TEXTS
        if key.removesuffix(".one") not in WHOLE and not any(key.startswith(b) for b in BEGINNINGS)
    ]  # fmt: skip
    assert unused == []


@pytest.mark.parametrize("path", sorted(WEB.glob("templates/*.html")), ids=lambda p: p.name)
def test_no_page_holds_words_of_its_own(path):
    bare = re.sub(r"{%.*?%}|{{.*?}}|<[^>]*>|&\w+;", " ", path.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert re.findall(r"[A-Za-z]{2,}", bare) == []


def test_values_in_texts_are_named_words():
    for key, text in TEXTS.items():
        assert set(re.findall(r"{([^}]*)}", text)) <= set(re.findall(r"{([a-z]+)}", text)), key
