"""The vapour estimate and the cautions that belong to it, in sentences for people.

No sentence here calls any air good: a low estimate says nothing of the air in front of a face.
"""

from datetime import timedelta

from bayapp.job.model.product import Solvent
from bayapp.job.text.naming import left_text
from bayapp.job.vapour.vapour import Vapour
from bayapp.text.figures import figure, percent, short_figure, temperature
from bayapp.text.language import _

NEAR = 0.5
"""From half of a limit on the caution says how near it is; common practice, no source."""


def label_text() -> str:
    """Return what the figure is and what it is not."""
    return _("Estimate, not a gas alarm")


def figure_text(vapour: Vapour | None, whole: bool = True) -> tuple[str, str]:
    """Return the figure and what it is of: "about 246 ppm", "Propan-2-ol, average of the room".

    Where the estimate is not ``whole`` something that gave solvent to the air is not known, and it is a least.
    """
    if vapour is None or not vapour.strengths:
        return "–", _("solvent vapour")
    if len(vapour.strengths) > 1:
        of = _("{count} solvents, of their limits together").format(count=len(vapour.strengths))
        sentence = _("about {share}") if whole else _("at least {share}")
        return sentence.format(share=percent(100 * vapour.now_share)), of
    (one,) = vapour.strengths
    of = _("{name}, average of the room").format(name=one.solvent.name)
    sentence = _("about {ppm} ppm") if whole else _("at least {ppm} ppm")
    return sentence.format(ppm=figure(one.now_ppm)), of


def limits_text(vapour: Vapour | None, whole: bool = True) -> str:
    """Return what the figure is held against, or why there is none, or why it is only a least."""
    if vapour is None:
        return _("Not known: say in the settings how many m³ the bay holds and how often an hour its air is renewed.")
    if not whole:
        return _("Cars that left within a day cannot be read: there may be more solvent in the air than this.")
    if not vapour.strengths:
        return _("No solvent use is recorded in the last 24 hours.")
    if len(vapour.strengths) > 1:
        sentence = _("Of 15 minutes {short}, of 8 hours {day} of what is allowed.")
        return sentence.format(short=percent(100 * vapour.short_share), day=percent(100 * vapour.day_share))
    (one,) = vapour.strengths
    sentence = _("Limits: {short} ppm for 15 minutes, {day} ppm for 8 hours.")
    return sentence.format(short=figure(one.solvent.short_ppm), day=figure(one.solvent.day_ppm))


def caution_text(vapour: Vapour | None) -> str:
    """Return what to do about it: wait so long, or add so much air; what always holds where nothing is passed."""
    always = _("At the panel it is many times as strong: air the bay, wear the mask that the sheet names.")
    if vapour is None:
        return _("Without these figures nothing is reckoned. Air the bay; wear the mask that the sheet names.")
    parts = []
    if vapour.now_share > 1:
        parts.append(_wait_text(vapour.wait))
    elif max(vapour.short_share, vapour.day_share) > 1:
        parts.append(_("A limit is passed by this estimate: stop using solvent, and leave until it is aired."))
    elif _over_if_it_stays(vapour):
        parts.append(_("If it stays so, it is over the limit for 8 hours."))
    elif max(vapour.now_share, vapour.short_share, vapour.day_share) > NEAR:
        worst = max(vapour.now_share, vapour.short_share, vapour.day_share)
        parts.append(_("It is at {share} of a limit.").format(share=percent(100 * worst)))
    if vapour.add_air_changes > 0 and (vapour.too_much or parts):
        sentence = _("Add about {more} air changes an hour.")
        parts.append(sentence.format(more=figure(vapour.add_air_changes, 1)))
    return " ".join([*parts, always])


def _over_if_it_stays(vapour: Vapour) -> bool:
    """Whether what is in the air now is more than a whole day allows, though a quarter of an hour may allow it."""
    return sum(one.now_ppm / one.solvent.day_ppm for one in vapour.strengths) > 1


def _wait_text(wait: timedelta | None) -> str:
    if wait is None:
        return _("That is over the limit and no fresh air comes: stop, go out, and open the doors.")
    return _("That is over the limit: stop, go out, and let it air for at least {left}.").format(left=left_text(wait))


def caution_texts(solvents: tuple[Solvent, ...], vapour: Vapour | None) -> tuple[str, ...]:
    """Return everything that there is to say about solvents in the bay, the most important first."""
    said = [
        _("The product's own safety sheet comes first, then local rules and whoever is licensed for them."),
        _("{label}: the average of the whole room, from areas and product sheets. No sensor measures it.").format(
            label=label_text()
        ),
        _("In front of the panel that you wipe it is many times as strong, and in pits and in the cabin, too."),
    ]
    said += [_burning_text(solvent) for solvent in solvents]
    said += [
        _("No flame, spark, heater or smoking. Air the bay before and during work, with a fan that makes no sparks."),
        _("Warm a cold bay before any solvent is opened; a heater with a flame lights vapour and makes the air damp."),
        _("Soiled towels go into a closed metal can at once, and out of the building at the end of the day."),
        _(
            "A dust mask holds no vapour back: wear the mask that the sheet names, with a filter for organic vapour. "
            "Coats with isocyanate need supplied air."
        ),
        _("Headache, dizziness or stinging eyes: stop, go out into fresh air, and tell somebody."),
    ]
    if vapour:
        said.append(
            _(
                "Reckoned with a bay of {volume} m³, {changes} air changes an hour, and {k} for poor mixing. "
                "Only products count whose file tells their solvent and how far they go."
            ).format(
                volume=figure(vapour.room.volume_m3),
                changes=short_figure(vapour.room.air_changes),
                k=short_figure(vapour.room.mixing_k),
            )
        )
    return tuple(said)


def _burning_text(solvent: Solvent) -> str:
    parts = []
    if solvent.flash_point_c is not None:
        sentence = _("{name}: from {flash} on it gives off a vapour that a spark lights.")
        parts.append(sentence.format(name=solvent.name, flash=temperature(solvent.flash_point_c, 0)))
    if solvent.lower_explosive_percent is not None:
        sentence = _("From {share} of the air on the vapour burns or explodes; over a wet panel it can be that strong.")
        parts.append(sentence.format(share=f"{short_figure(solvent.lower_explosive_percent)} %"))
    return " ".join(parts) or _("{name}: read on its sheet from when on its vapour burns.").format(name=solvent.name)
