"""The shipped fonts: even digits, the letters that are needed, their licences, and not too much of it."""

import pytest
from PySide6.QtGui import QRawFont

from bayapp.paths import resource

FACES = ["B612-Regular.otf", "B612-Bold.otf", "DejaVuSansCondensed.ttf", "DejaVuSansCondensed-Bold.ttf"]
EM = 1000


@pytest.fixture
def face(request, qapp):
    font = QRawFont(str(resource("fonts", request.param)), EM)
    assert font.isValid()
    return font


def advances(font: QRawFont, text: str) -> list[float]:
    return [point.x() for point in font.advancesForGlyphIndexes(font.glyphIndexesForString(text))]


@pytest.mark.parametrize("face", FACES, indirect=True)
def test_every_digit_is_as_wide_as_every_other(face):
    widths = advances(face, "0123456789")
    assert len(widths) == 10
    assert widths[0] > 0.4 * EM
    assert set(widths) == {widths[0]}


def test_a_countdown_does_not_move_when_it_turns_bold(qapp):
    regular, bold = (QRawFont(str(resource("fonts", name)), EM) for name in FACES[:2])
    assert advances(regular, "01:23:45 windscreen") == advances(bold, "01:23:45 windscreen")


@pytest.mark.parametrize("face", FACES[:2], indirect=True)
def test_the_main_face_has_the_signs_that_screen_and_papers_use(face):
    signs = "°→←↑↓µ×·–—…±≥≤−%&/:.,’ÄÖÜäöüßéèçñ"
    assert [sign for sign in signs if 0 in face.glyphIndexesForString(sign)] == []


@pytest.mark.parametrize("face", FACES[2:], indirect=True)
def test_the_second_face_fills_in_the_letters_that_the_first_lacks(face):
    assert [sign for sign in "łőřžșВЖяΔΩ" if 0 in face.glyphIndexesForString(sign)] == []


@pytest.mark.parametrize(
    ("licence", "sentence"),
    [
        ("LICENSE-B612.txt", "SIL OPEN FONT LICENSE Version 1.1"),
        ("LICENSE-DejaVu.txt", "Permission is hereby granted, free of charge, to any person obtaining a copy"),
    ],
)
def test_each_font_lies_beside_its_licence(licence, sentence):
    assert sentence in resource("fonts", licence).read_text()


def test_every_shipped_font_is_accounted_for_and_all_are_small():
    files = [file for file in resource("fonts").iterdir() if file.suffix in {".otf", ".ttf"}]
    text = resource("fonts", "README.md").read_text()
    assert sorted(file.name for file in files) == sorted(FACES)
    assert [file.name for file in files if file.name not in text] == []
    assert sum(file.stat().st_size for file in files) < 3_000_000
