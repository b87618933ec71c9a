"""Turns sentences into the shop's language through gettext. Knows no sentence."""

import gettext as _gettext

from bayapp.paths import resource

_catalogue = _gettext.translation("bayapp", localedir=str(resource("locale")), fallback=True)


def _(sentence: str) -> str:
    """Return the sentence in the shop's language."""
    return _catalogue.gettext(sentence)


def ngettext(one: str, many: str, n: int) -> str:
    """Return the sentence for one or for many in the shop's language."""
    return _catalogue.ngettext(one, many, n)
