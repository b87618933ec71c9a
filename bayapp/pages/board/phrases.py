"""Ready-made reasons and notes to choose from, so that nobody needs a keyboard."""

from bayapp.text.language import _


def reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for overriding a refusal."""
    return (
        _("I looked and felt: the surface is ready"),
        _("The product sheet allows it"),
        _("The air is warmer than the recipe expects"),
        _("The step was done before it was touched here"),
        _("The surface will be done again later"),
        _("Agreed with the owner of the car"),
    )


def aside_reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for not working a zone today."""
    return (
        _("not ordered"),
        _("no time today"),
        _("part is missing"),
        _("will be repainted"),
        _("will be replaced"),
        _("damaged, the owner decides first"),
    )


def leaving_reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for letting a car go before all of it was seen by light."""
    return (
        _("it was looked at, but nobody touched it here"),
        _("it comes back to be finished"),
        _("the owner needs it now"),
        _("it came in before there was a final check"),
        _("moved to another shop"),
    )


def swap_reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for changing the recipe."""
    return (
        _("the owner wants another coat"),
        _("repainted, or another paint"),
        _("covered with film"),
        _("damaged or delicate surface"),
        _("the product is not there"),
        _("no time for the longer recipe"),
    )


def add_reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for adding work."""
    return (
        _("the owner asked for it"),
        _("seen only after washing"),
        _("forgotten when the car came in"),
        _("there is time for it"),
        _("damage found"),
        _("to match the rest"),
    )


def bottle_reasons() -> tuple[str, ...]:
    """Return the reasons to choose from for taking a bottle off the shelf."""
    return (
        _("used up"),
        _("expired"),
        _("gone thick, hard or cloudy"),
        _("spilled or broken"),
        _("given away"),
        _("entered by mistake"),
    )


def notes() -> tuple[str, ...]:
    """Return the notes that are written most often."""
    return (
        _("stone chip, left as it is"),
        _("scratch remains, told the owner"),
        _("high spot seen, levelled again"),
        _("repainted panel, polished with care"),
        _("residue in the edge, to look at tomorrow"),
        _("fresh bottle opened"),
        _("fresh towel taken"),
        _("photo taken"),
    )


def cautions() -> tuple[str, ...]:
    """Return the usual cautions of the work; safety sheets, local rules and licensed practice come first."""
    return (
        _("The product's safety sheet, local rules and, where the law asks for it, licensed practice come first."),
        _("Solvent vapour burns and is heavier than air: no flame, no spark, no smoking; air the bay."),
        _("Vapour near the panel is far stronger than in the room: do not lean over it; leave if you feel dizzy."),
        _("Nitrile gloves and eye protection; wash splashes out with water for 15 minutes and see a doctor."),
        _("Soiled towels go into a closed metal can, outside by the end of the day; oily ones can catch fire alone."),
        _("Keep steel wool dry and away from battery terminals and sparks; it burns."),
        _("Exhausts, brakes and headlamps burn skin: let them go cold before touching or coating."),
        _("Polishers and vacuum cleaners are loud: wear ear protection; alerts are made to be heard through it."),
        _("Against sanding dust and spray wear the mask that the safety sheet names; some coatings need supplied air."),
    )
