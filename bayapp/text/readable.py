"""Finds what nobody could read in a name or sentence: control characters, invisible signs, signs that turn the line.

Such a text would stand on wall and paper as nothing, as a box, or in another order than it was written.
"""

import unicodedata

from bayapp.text.language import _, later

_JOINERS = frozenset("\u00ad\u200c\u200d\u200e\u200f")
"""Invisible, but part of how some languages are written: where a word may break, join, or which way a mark belongs."""
_LOOKS_BLANK = frozenset("\u034f\u115f\u1160\u2800\u3164\uffa0")
"""Letters and patterns by their category that show nothing."""
_BREAKS = frozenset("\n\t\u2028\u2029")
_NEVER = frozenset({"Cc", "Cf", "Cn", "Co", "Cs", "Zl", "Zp"})
"""Unicode's categories of controls, formats, signs that are not assigned or private, and separators of lines."""
_MOST_MARKS = 4
"""Marks on one letter; more would run into the lines above and below."""


def fault_in(text: str, *, one_line: bool = True) -> str:
    """Return what is wrong with a text that people shall read, and what would be right; empty where nothing is.

    Args:
        one_line: whether line breaks and tabs are wrong, too.
    """
    marks = 0
    for character in text:
        marks = marks + 1 if unicodedata.category(character).startswith("M") else 0
        if marks > _MOST_MARKS:
            return _("more than {most} marks stand on one letter; leave them out").format(most=_MOST_MARKS)
        if is_odd(character) and (one_line or character not in _BREAKS):
            return _("it holds {sign}, which nobody can read; leave it out").format(sign=sign_named(character))
    if text and all(_shows_nothing(character) for character in text):
        return _("it shows nothing but blanks; write words")
    return ""


def quoted(character: str) -> str:
    """Return a character as it is told to people: in quotes, or by its name where nobody would see it."""
    return sign_named(character) if is_odd(character) or _shows_nothing(character) else repr(character)


def visible(text: str) -> str:
    """Return a text with what cannot be shown told by its code, e.g. "[U+001B]"; line breaks stay."""
    if text.isprintable():
        return text
    return "".join(f"[U+{ord(c):04X}]" if is_odd(c) and c != "\n" else c for c in text)


def is_odd(character: str) -> bool:
    """Whether a character cannot be shown as itself."""
    return unicodedata.category(character) in _NEVER and character not in _JOINERS


def sign_named(character: str) -> str:
    """Return the words for a character that cannot be shown, e.g. "U+202E (right-to-left override)"."""
    name = unicodedata.name(character, "").lower() or _CATEGORIES.get(unicodedata.category(character), "")
    code = f"U+{ord(character):04X}"
    return f"{code} ({_(name) if name in _CATEGORIES.values() else name})" if name else code


_CATEGORIES = {
    "Cc": later("control character"),
    "Cn": later("no sign at all"),
    "Co": later("private sign"),
    "Cs": later("half a sign"),
}


def _shows_nothing(character: str) -> bool:
    return character.isspace() or character in _JOINERS or character in _LOOKS_BLANK
