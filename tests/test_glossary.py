"""The words of the trade: each a whole sentence, taught in a lesson that exists and says the word."""

import json
import re
from pathlib import Path

import pytest
from test_errors import FORBIDDEN

from kilnlib.words.glossary import WORDS

ROOT = Path(__file__).resolve().parents[1]
each = pytest.mark.parametrize("word", WORDS, ids=lambda word: word.word)


def said_in(lesson):
    """What a lesson says: its text and its questions."""
    (book,) = (ROOT / "workbooks").glob(f"{lesson}_*.ipynb")
    cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
    text = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
    questions = ROOT / "kilnlib" / "questions" / f"{book.stem}.toml"
    return " ".join([*text, questions.read_text(encoding="utf-8")])


def test_about_sixty_words_in_order_and_each_once():
    words = [word.word.casefold() for word in WORDS]
    assert 55 <= len(words) <= 75 and words == sorted(set(words))
    names = [name.casefold() for word in WORDS for name in word.names]
    assert len(names) == len(set(names))


@each
def test_another_name_is_more_than_another_form(word):
    assert not {f"{word.word}s", word.word.replace("-", " "), word.word.replace("foot", "feet")} & set(word.also)


@each
def test_one_whole_sentence_that_says_the_word(word):
    assert re.fullmatch(r"[A-Z][^.?!]{20,200}\.", word.says), word.says
    first, *_ = word.word.split()
    assert first.casefold() in word.says.casefold()
    assert not FORBIDDEN.search(word.says)
    assert len(word.says.split()) <= 30


@each
def test_its_lesson_exists_and_says_the_word(word):
    names = word.names
    assert any(re.search(rf"\b{re.escape(name)}\b", said_in(word.lesson), re.IGNORECASE) for name in names), names


def test_a_word_no_lesson_says_would_be_noticed():
    assert not re.search(r"\bgrapple skidder\b", said_in("00"), re.IGNORECASE)
