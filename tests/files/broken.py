"""Good files of each kind, and what people break in them."""

from typing import NamedTuple


class Broken(NamedTuple):
    """One way to break a good text: replace ``old`` by ``new``; what must then be said, and of which place."""

    name: str
    old: str
    new: str
    place: str
    words: str

    def text(self, good: str) -> str:
        assert good.count(self.old) >= 1, f"{self.name}: {self.old!r} is not in the good text"
        return good.replace(self.old, self.new, 1)

    def __str__(self) -> str:
        return self.name.replace(" ", "-")


RECIPE = """\
format = "bayapp-recipe/1"
name = "own-glass"

[[step]]
id = "wipe"
kind = "wipe"
minutes = 2

[[step]]
id = "coat-1"
kind = "coat"
layer = 1
motion = "vertical"
minutes = 2
wait = { min = 1, max = 30 }

[[step]]
id = "buff"
kind = "buff"
minutes = 3
[step.wait]
min = 5
max = 60
lapse = "wipe"

[finish]
keep_dry_hours = 12
"""

BROKEN_RECIPES = (
    Broken("no format", 'format = "bayapp-recipe/1"', "", "format", "the first line is one of"),
    Broken("another format", "bayapp-recipe/1", "bayapp-recipe/2", "line 1, format", "did you mean 'bayapp-recipe/1'?"),
    Broken("no name", 'name = "own-glass"', "", "name", "key 'name' is missing; write e.g. name ="),
    Broken("a name with blanks", '"own-glass"', '"Own glass"', "line 2, name", "write 'own-glass'"),
    Broken("a name that is a number", '"own-glass"', "7", "line 2, name", "7 is not text; write text in double quotes"),
    Broken("an unknown key at the top", "[finish]", "[finnish]", "line 26, finnish", "did you mean 'finish'?"),
    Broken("an unknown key in a wait", "{ min = 1,", "{ minn = 1,", "line 15, step 2 (coat-1), wait.minn", "'min'"),
    Broken(
        "an unknown key in a step", "layer = 1", "layr = 1", "line 12, step 2 (coat-1), layr", "did you mean 'layer'"
    ),
    Broken("an unknown kind", 'kind = "buff"', 'kind = "buf"', "line 19, step 3 (buff), kind", "did you mean 'buff'?"),
    Broken("an unknown motion", '"vertical"', '"up"', "line 13, step 2 (coat-1), motion", "vertical, horizontal"),
    Broken("minutes with a unit", "minutes = 3", 'minutes = "3 min"', "line 20, step 3 (buff), minutes", "as a number"),
    Broken(
        "minutes below zero", "minutes = 3", "minutes = -3", "line 20, step 3 (buff), minutes", "more than 0 minutes"
    ),
    Broken(
        "minutes that are no number", "minutes = 3", "minutes = nan", "line 20, step 3 (buff), minutes", "not a number"
    ),
    Broken("minutes without end", "max = 60", "max = inf", "line 23, step 3 (buff), wait.max", "minutes as a number"),
    Broken("a wait of a million years", "max = 60", "max = 1e12", "line 23, step 3 (buff), wait.max", "too large"),
    Broken(
        "a minimum that is true", "min = 5", "min = true", "line 22, step 3 (buff), wait.min", "true is not a number"
    ),
    Broken("a layer and a half", "layer = 1", "layer = 1.5", "line 12, step 2 (coat-1), layer", "not a whole number"),
    Broken(
        "max below min", "max = 30", "max = 0.5", "line 15, step 2 (coat-1), wait", "max (0.5 min) is less than min"
    ),
    *(
        Broken(name, "min = 5", new, f"line {23 if '61' in new else 22}, step 3 (buff), {where}", reason)
        for name, new, where, reason in (
            ("a table of one row", "min_by_c = [[10, 8.0]]", "wait.min_by_c", "at least two rows"),
            (
                "a table that falls",
                "min_by_c = [[20, 5], [10, 8]]",
                "wait.min_by_c",
                "the lowest first",
            ),
            (
                "a table with a row twice",
                "min_by_rh = [[20, 5], [20, 8]]",
                "wait.min_by_rh",
                "write each once",
            ),
            (
                "a row of one number",
                "min_by_c = [[10], [20, 5]]",
                "wait.min_by_c",
                "row 1: min_by_c is no table",
            ),
            (
                "a row of three numbers",
                "min_by_c = [[10, 8, 9], [20, 5]]",
                "wait.min_by_c",
                "e.g. [[10, 8]",
            ),
            (
                "a table of numbers",
                "min_by_rh = [10, 8]",
                "wait.min_by_rh",
                "rows of per cent humidity",
            ),
            (
                "a row in words",
                'min_by_c = [["cold", 8], [20, 5]]',
                "wait.min_by_c",
                "rows of degrees Celsius",
            ),
            ("a row of no minutes", "min_by_c = [[10, 0], [20, 5]]", "wait.min_by_c", "more than 0"),
            (
                "a table in another unit",
                "min_by_f = [[50, 8], [68, 5]]",
                "wait.min_by_f",
                "did you mean 'min_by_c'?",
            ),
            (
                "a humidity of 120 %",
                "min_by_rh = [[20, 8], [120, 5]]",
                "wait.min_by_rh",
                "at most 100",
            ),
            (
                "two tables for one wait",
                "min_by_c = [[10, 8], [20, 5]]\nmin_by_rh = [[30, 8], [60, 5]]",
                "wait",
                "no sheet says how they go together",
            ),
            (
                "tables for other air each",
                "min_by_c = [[10, 8], [20, 5]]\nmax_by_c = [[25, 60], [30, 40]]",
                "wait",
                "in no air do both hold",
            ),
            (
                "a base that is no row",
                "min = 6\nmin_by_c = [[10, 8], [20, 5]]",
                "wait",
                "no row of min_by_c has that",
            ),
            (
                "a table above max",
                "min_by_c = [[10, 61], [20, 5]]",
                "wait",
                "max (60 min) is less than min (61 min) in some air",
            ),
        )
    ),
    Broken("a lapse without max", "max = 60\n", "", "line 23, step 3 (buff), wait", "give max as well"),
    Broken(
        "an unknown price of a lapse", 'lapse = "wipe"', 'lapse = "wpe"', "line 24, step 3 (buff), wait.lapse", "'wipe'"
    ),
    Broken("the same step twice", 'id = "buff"', 'id = "wipe"', "line 18", "step id 'wipe' stands twice"),
    Broken(
        "a wait before the first step",
        "minutes = 2\n",
        "minutes = 2\nwait = { min = 1 }\n",
        "line 5",
        "no step before it",
    ),
    Broken("a cycle", "{ min = 1,", '{ after = "buff", min = 1,', "line 10", "comes no earlier: a cycle"),
    Broken(
        "a wait after no step",
        "{ min = 1,",
        '{ after = "rinse", min = 1,',
        "line 10",
        "which is no step of this recipe",
    ),
    Broken(
        "a buff with layers", 'kind = "buff"', 'kind = "buff"\nlayer = 2', "line 18, step 3 (buff)", "only a coat has"
    ),
    Broken("no steps", "[[step]]", "[[stp]]", "line 4, stp", "unknown key 'stp'; did you mean 'step'?"),
    Broken(
        "hours in words", "= 12", '= "half a day"', "line 27, finish.keep_dry_hours", "write hours as a number, e.g. 12"
    ),
    Broken(
        "a wait that is a number", "{ min = 1, max = 30 }", "5", "line 15, step 2 (coat-1), wait", "5 is not a table"
    ),
    Broken(
        "a date for a number", "minutes = 3", "minutes = 2026-11-25", "line 20, step 3 (buff), minutes", "not a number"
    ),
    Broken(
        "a comma for the point",
        "minutes = 3",
        "minutes = 2,5",
        "line 20, column 12",
        "more on this line than one value",
    ),
    Broken("a text that is not closed", '"vertical"', '"vertical', "line 13, column 19", "add the closing quote"),
    Broken("a key without a value", "layer = 1", "layer", "line 12, column 6", "after a key comes = and a value"),
    Broken("a key twice", "layer = 1", "layer = 1\nlayer = 2", "line 13, column 10", "stands twice"),
    Broken("a value without quotes", 'kind = "buff"', "kind = buff", "line 19, column 8", "put text in double quotes"),
    Broken("a list that never ends", "minutes = 3", "minutes = " + "[" * 2000, "line 20", "too deep"),
)

PRODUCT = """\
format = "bayapp-product/1"
name = "own-coat"
title = "Own coat"
air_c = [10, 28]
surface_c = [8, 30]
rh_percent = [30, 70]
dew_margin_c = 3
cautions = ["Gloves and fresh air.", "The safety sheet comes first."]
"""

BROKEN_PRODUCTS = (
    Broken("no format", 'format = "bayapp-product/1"', "", "format", "key 'format' is missing"),
    Broken("a format that is no text", '"bayapp-product/1"', "1", "line 1, format", "1 is no format"),
    Broken("no name", 'name = "own-coat"', "", "name", "key 'name' is missing"),
    Broken("a name in capitals", '"own-coat"', '"OwnCoat"', "line 2, name", "lower-case letters"),
    Broken("a name of signs", '"own-coat"', '"***"', "line 2, name", "write e.g. 'coat-1'"),
    Broken("a name that is empty", '"own-coat"', '""', "line 2, name", "is no id"),
    Broken("a title that is a list", '"Own coat"', '["Own", "coat"]', "line 3, title", "a list is not text"),
    Broken("a title without end", "Own coat", "x" * 61, "line 3, title", "longer than 60 letters"),
    Broken("limits the wrong way round", "[10, 28]", "[28, 10]", "line 4", "write the lower limit first"),
    Broken("one limit", "[10, 28]", "[10]", "line 4, air_c 2", "two numbers belong here: the lowest, then the highest"),
    Broken("three limits", "[10, 28]", "[10, 28, 40]", "line 4, air_c", "air_c has 3 entries; at most 2"),
    Broken("a limit with a unit", "[10, 28]", '["10 C", 28]', "line 4, air_c 1", "degrees Celsius as a number"),
    Broken("a limit that is a number", "[10, 28]", "28", "line 4, air_c", "28 is not a list"),
    Broken("a limit in Fahrenheit", "[10, 28]", "[50, 82.4]\nair_f = 1", "line 5, air_f", "did you mean 'air_c'?"),
    Broken("a heat no bay has", "[8, 30]", "[8, 300]", "line 5, surface_c 2", "at most 90 degrees Celsius"),
    Broken("a limit that is no number", "[8, 30]", "[8, nan]", "line 5, surface_c 2", "nan is not a number"),
    Broken("too wet", "[30, 70]", "[30, 170]", "line 6, rh_percent 2", "at most 100 per cent"),
    Broken("too dry", "[30, 70]", "[0, 70]", "line 6, rh_percent 1", "more than 0 per cent"),
    Broken("a margin below zero", "dew_margin_c = 3", "dew_margin_c = -3", "line 7, dew_margin_c", "at least 0"),
    Broken("a margin in words", "dew_margin_c = 3", 'dew_margin_c = "three"', "line 7, dew_margin_c", "e.g. 3"),
    Broken("an unknown key", "dew_margin_c", "dew_margin", "line 7, dew_margin", "did you mean 'dew_margin_c'?"),
    Broken("a key of nothing known", "dew_margin_c", "zzz", "line 7, zzz", "known here: format, name, title"),
    Broken(
        "cautions that are one text", '["Gloves and fresh air.", "The', '"The', "line 8, column 43", "more on this line"
    ),
    Broken("a caution that is a number", '"Gloves and fresh air."', "7", "line 8, cautions 1", "7 is not text"),
    Broken("a table twice", "cautions =", "[a]\n[a]\ncautions =", "line 9, column 3", "this table stands twice"),
)

VEHICLE = """\
format = "bayapp-vehicle/1"
name = "own-van"
title = "Own van"
drawing = "own-van.svg"

[[zone]]
id = "bonnet"
name = "bonnet"
surface = "paint"
area_m2 = 1.5
neighbours = ["windscreen"]

[[zone]]
id = "windscreen"
name = "windscreen"
surface = "glass"
area_m2 = 1.2
neighbours = ["bonnet"]

[sets]
front = ["bonnet", "windscreen"]
whole = ["front"]

[set_titles]
front = "front of the van"
"""

DRAWING = """\
<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 50">
  <g id="zones">
    <path id="bonnet" d="M0 0 L40 0 L40 50 Z"/>
    <path id="windscreen" d="M41 0 L90 0 L90 50 Z"/>
  </g>
</svg>
"""

BROKEN_VEHICLES = (
    Broken("no format", 'format = "bayapp-vehicle/1"', "", "format", "key 'format' is missing"),
    Broken(
        "another word for it", "bayapp-vehicle/1", "bayapp-car/1", "line 1, format", "no format that this version reads"
    ),
    Broken("no name", 'name = "own-van"', "", "name", "key 'name' is missing"),
    Broken("a name with a slash", '"own-van"', '"own/van"', "line 2, name", "write 'own-van'"),
    Broken("no title", 'title = "Own van"', "", "title", "key 'title' is missing"),
    Broken("an empty title", '"Own van"', '""', "line 3, title", "title is empty"),
    Broken("a zone with a bell", '"bonnet"\ns', '"bonnet\\u0007"\ns', "line 8, zone 1 (bonnet), name", "U+0007"),
    Broken("a title of nothing", '"front of the van"', '"\\u2800"', "line 25, set_titles.front", "nothing but blanks"),
    Broken("no drawing named", 'drawing = "own-van.svg"', "", "drawing", 'write e.g. drawing = "estate.svg"'),
    Broken("a drawing elsewhere", '"own-van.svg"', '"../own-van.svg"', "line 4, drawing", "write its bare name"),
    Broken("a drawing that is not there", '"own-van.svg"', '"own-car.svg"', "line 4, drawing", "there is no drawing"),
    Broken("a drawing of another kind", '"own-van.svg"', '"own-van.png"', "line 4, drawing", "is no SVG file"),
    Broken("a zone twice", 'id = "windscreen"', 'id = "bonnet"', "line 14", "zone id 'bonnet' stands twice"),
    Broken(
        "a zone that is not drawn", 'id = "windscreen"', 'id = "screen"', "line 7", "names a neighbour 'windscreen'"
    ),
    Broken("an unknown surface", '"glass"', '"glas"', "line 16, zone 2 (windscreen), surface", "did you mean 'glass'?"),
    Broken("no surface", 'surface = "glass"', "", "line 13, zone 2 (windscreen), surface", "key 'surface' is missing"),
    Broken("no area", "area_m2 = 1.2", "", "line 13, zone 2 (windscreen), area_m2", "write e.g. area_m2 = 1.3"),
    Broken("an area of nothing", "1.2", "0", "line 17, zone 2 (windscreen), area_m2", "more than 0 square metres"),
    Broken("an area in words", "1.2", '"1.2"', "line 17, zone 2 (windscreen), area_m2", "square metres as a number"),
    Broken("an area that is true", "1.2", "true", "line 17, zone 2 (windscreen), area_m2", "true is not a number"),
    Broken("an area of a hall", "1.2", "120", "line 17, zone 2 (windscreen), area_m2", "at most 20 square metres"),
    Broken("a set of nothing", '["front"]', "[]", "line 22", "set 'whole' is empty"),
    Broken("a set of strangers", '["front"]', '["rear"]', "line 22", "neither a zone nor a set"),
    Broken("a set in a circle", '["bonnet", "windscreen"]', '["whole"]', "line 21", "contains itself"),
    Broken("a set with a zone's name", "whole =", "bonnet =", "line 7", "both a zone and a set"),
    Broken("a set that is a text", '["front"]', '"front"', "line 22, sets.whole", "is not a list"),
    Broken("a set with a bad name", "whole =", '"The whole" =', "line 22, sets.The whole", "write 'the-whole'"),
    Broken("a title of no set", 'front = "front', 'rear = "front', "line 25", "which is no set of this form"),
    Broken(
        "an unknown key", "neighbours", "neighbors", "line 11, zone 1 (bonnet), neighbors", "did you mean 'neighbours'?"
    ),
    Broken("zones of another name", "[[zone]]", "[[zones]]", "line 6, zones", "did you mean 'zone'?"),
)

BROKEN_DRAWINGS = (
    Broken("no SVG at all", "<svg", "svg", "line 1, column 1", "this is not SVG"),
    Broken("cut off in the middle", "</svg>\n", "", "line 6", "this is not SVG"),
    Broken("another tag", "http://www.w3.org/2000/svg", "urn:another", "line 1", "no SVG drawing with a viewBox"),
    Broken("no view box", ' viewBox="0 0 100 50"', "", "line 1", "no SVG drawing with a viewBox"),
    Broken("no path for a zone", 'id="bonnet"', 'id="bonet"', "line 6, zone 1 (bonnet)", "did you mean 'bonet'?"),
    Broken("two paths for a zone", 'id="windscreen"', 'id="bonnet"', "line 6, zone 1 (bonnet)", "has 2 paths"),
    Broken("zones in no group", 'id="zones"', 'id="layer1"', "line 6, zone 1 (bonnet)", "no path in group 'zones'"),
    Broken("a path of no zone", "</g>", '<path id="x" d="M1 1 Z"/></g>', "line 4, drawing", "'x' in group 'zones'"),
    Broken(
        "a path without a name",
        "</g>",
        '<path d="M1 1 Z"/></g>',
        "line 4, drawing",
        "path 3 of group 'zones' has no id",
    ),
    Broken("a relative command", "M0 0 L40", "M0 0 l40", "line 6, zone 1 (bonnet)", "path command 'l'; use M, L, C"),
    Broken("a path of nothing", ' d="M0 0 L40 0 L40 50 Z"', "", "line 6, zone 1 (bonnet)", "has no path"),
)

JOB = """\
format = "bayapp-job/1"
title = "Green estate"
vehicle = "estate"
crew = ["Ash", "Bo"]
start = 2026-11-25T08:00:00Z

[[work]]
zones = ["windscreen", "rear-screen"]
recipe = "own"

[[work]]
zones = ["rims"]
recipe = "rim"

[recipe.own]
[[recipe.own.step]]
id = "wipe"
kind = "wipe"
minutes = 2
[[recipe.own.step]]
id = "coat-1"
kind = "coat"
product = "own-coat"
minutes = 2
wait = { min = 1, max = 30 }

[product.own-coat]
air_c = [10, 28]

[[mark]]
zones = ["bonnet", "rims"]
kind = "repainted"
date = 2026-11-16
note = "by the owner's word"
"""
MATT = '[[mark]]\nzones = ["rim-front-left"]\nkind = "repainted"\ndate = 2026-11-01\n\n[[mark]]\nzones = ["bonnet"'

BROKEN_JOBS = (
    Broken("no format", 'format = "bayapp-job/1"', "", "format", "key 'format' is missing"),
    Broken("a later format", "bayapp-job/1", "bayapp-job/9", "line 1, format", "did you mean 'bayapp-job/1'?"),
    Broken("no title", 'title = "Green estate"', "", "title", 'write e.g. title = "Green estate"'),
    Broken("an empty title", '"Green estate"', '""', "line 2, title", "title is empty"),
    Broken("a title of blanks", '"Green estate"', '" \u00a0 "', "line 2, title", "nothing but blanks"),
    Broken("a title that clears the screen", "Green estate", "Green\\u001b[2J", "line 2, title", "U+001B (control"),
    Broken("a title that turns round", "Green estate", "Green \u202eestate", "line 2, title", "right-to-left override"),
    Broken("a person whom nobody sees", '"Bo"]', '"\\u200b"]', "line 4, crew 2", "U+200B (zero width space)"),
    Broken("no vehicle", 'vehicle = "estate"', "", "vehicle", "key 'vehicle' is missing"),
    Broken("a vehicle nobody drew", '"estate"', '"estat"', "line 3, vehicle", "did you mean 'estate'?"),
    Broken("a vehicle path to nowhere", '"estate"', '"x/own.toml"', "line 3, vehicle", "there is no such file"),
    Broken("a crew of one text", '["Ash", "Bo"]', '"Ash"', "line 4, crew", "'Ash' is not a list"),
    Broken("two people of one name", '"Bo"]', '"Ash"]', "line 4", "crew names 'Ash' twice"),
    Broken("a person without a name", '"Bo"]', '" "]', "line 4, crew 2", "nothing but blanks"),
    Broken("a person who is a number", '"Bo"]', "7]", "line 4, crew 2", "7 is not text"),
    Broken("no start", "start = 2026-11-25T08:00:00Z", "", "start", "write e.g. start = 2026-11-25T08:00:00Z"),
    Broken("a start without an offset", "08:00:00Z", "08:00:00", "line 5, start", "no offset from UTC"),
    Broken("a start without a time", "T08:00:00Z", "", "line 5, start", "has no time of day"),
    Broken(
        "a start in words", "2026-11-25T08:00:00Z", '"tomorrow"', "line 5, start", "'tomorrow' is not a date and time"
    ),
    Broken("a start on no day", "2026-11-25T", "2026-02-30T", "line 5, column 9", "the calendar has no such day"),
    Broken("a start that is a number", "2026-11-25T08:00:00Z", "8", "line 5, start", "8 is not a date and time"),
    Broken("no zones", 'zones = ["rims"]\n', "", "line 11, work 2, zones", 'write e.g. zones = ["windscreen"]'),
    Broken("zones of nothing", '["rims"]', "[]", "line 12, work 2, zones", "zones is empty"),
    Broken("a zone nobody drew", '["rims"]', '["rimms"]', "line 12, work 2, zones", "did you mean 'rims'?"),
    Broken("a zone in two blocks", '["rims"]', '["all-glass"]', "line 12, work 2, zones", "stands in work 1 already"),
    Broken("a zone in capitals", '["rims"]', '["Rims"]', "line 12, work 2, zones 1", "write 'rims'"),
    Broken("no recipe", 'recipe = "rim"\n', "", "line 11, work 2, recipe", "key 'recipe' is missing"),
    Broken("a recipe nobody wrote", '"rim"', '"rimm"', "line 13, work 2, recipe", "did you mean 'rim'?"),
    Broken("a recipe path to nowhere", '"rim"', '"rim.toml"', "line 13, work 2, recipe", "there is no such file"),
    Broken("no work", "[[work]]", "[[works]]", "line 7, works", "did you mean 'work'?"),
    Broken("work that is no list", "[[work]]", "[work]", "line 11, column 7", "stands twice"),
    Broken(
        "minutes with a unit",
        "minutes = 2\nwait",
        'minutes = "2m"\nwait',
        "line 24, recipe.own.step 2 (coat-1), minutes",
        "2m",
    ),
    Broken("max below min", "max = 30", "max = 0", "line 25, recipe.own.step 2 (coat-1), wait", "less than min"),
    Broken(
        "an unknown key in a recipe of its own",
        "minutes = 2\nwait",
        "minute = 2\nwait",
        "line 24, recipe.own.step 2 (coat-1), minute",
        "'minutes'",
    ),
    Broken("a recipe's bad name", "[recipe.own]\n", '[recipe."My own"]\n', "line 15, recipe.My own", "'my-own'"),
    Broken("an unknown key in a product", "air_c = [10", "air = [10", "line 28, product.own-coat.air", "'air_c'"),
    Broken("limits the wrong way round", "[10, 28]", "[28, 10]", "line 28, product.own-coat", "lower limit first"),
    Broken("a mark of no kind", 'kind = "repainted"\n', "", "line 30, mark 1, kind", 'write e.g. kind = "film"'),
    Broken("an unknown mark", '"repainted"', '"repaint"', "line 32, mark 1, kind", "did you mean 'repainted'?"),
    Broken("a repaint of no day", "date = 2026-11-16\n", "", "line 32, mark 1", "write its day as well"),
    Broken("a repaint to come", "2026-11-16", "2026-11-26", "line 33, mark 1, date", "after the start of this job"),
    Broken("a repaint at a time", "2026-11-16", "2026-11-16T08:00:00Z", "line 33, mark 1, date", "the day alone"),
    Broken("a repaint that is a number", "2026-11-16", "20261116", "line 33, mark 1, date", "is no date"),
    Broken("a mark on nothing", '["bonnet", "rims"]', "[]", "line 31, mark 1, zones", "zones is empty"),
    Broken("a mark nobody drew", '"bonnet"', '"bonet"', "line 31, mark 1, zones", "did you mean 'bonnet'?"),
    Broken("a mark said twice", '[[mark]]\nzones = ["bonnet"', MATT, "line 36, mark 2, zones", "in mark 1 already"),
    Broken("days of a film", '"repainted"', '"film"\ndays = 9', "line 33, mark 1", "counted from a repaint"),
    Broken("a dent in a film", '"repainted"', '"film"\nwhat = "dent"', "line 33, mark 1", "leave it out"),
    Broken("an unknown damage", '"repainted"', '"damage"\nwhat = "dint"', "line 33, mark 1, what", "'dent'?"),
    Broken("an unknown key in a mark", "note =", "notes =", "line 34, mark 1, notes", "did you mean 'note'?"),
    Broken("a wait of no set", "{ min = 1,", '{ of = "glasses", min = 1,', "line 7, work 1", "which is no set of"),
    Broken("a wait of the coat for itself", "{ min = 1,", '{ of = "all-glass", min = 1,', "line 7, work 1", "a circle"),
    Broken("a wait of a set after no step", "{ min", '{ of = "rims", after = "tape", min', "line 7, work 1", "'tape'"),
    Broken("an unknown key", 'vehicle = "estate"', 'vehicel = "estate"', "line 3, vehicel", "did you mean 'vehicle'?"),
)

EVENTS = """\
{"at": "2026-11-25T08:00:00Z", "act": "air", "air_c": 20, "rh_percent": 50, "surface_c": 19.5, "by": "Ash"}
{"at": "2026-11-25T08:01:00Z", "act": "start", "zone": "windscreen", "step": "wipe", "by": "Ash"}
{"at": "2026-11-25T08:03:00Z", "act": "done", "zone": "windscreen", "step": "wipe", "by": "Ash"}
{"at": "2026-11-25T08:03:10Z", "act": "note", "text": "a chip at the edge", "zone": "windscreen"}
{"at": "2026-11-25T08:03:20Z", "act": "undo", "zone": "windscreen"}
{"at": "2026-11-25T08:03:30Z", "act": "done", "zone": "windscreen", "step": "wipe"}
"""
UNDO = '"undo", "zone": "windscreen"'

BROKEN_EVENTS = (
    Broken("no JSON", '{"at": "2026-11-25T08:01:00Z"', "at: 8:01", "line 2, column 1", "this is not JSON"),
    Broken("two events on one line", "}\n{", "} {", "line 1, column 109", "one event is one line of JSON"),
    Broken("an event over two lines", '"act": "undo", ', '"act":\n"undo", ', "line 5, column 38", "this is not JSON"),
    Broken(
        "a list",
        '{"at": "2026-11-25T08:03:20Z", "act": "undo", "zone": "windscreen"}',
        "[]",
        "line 5",
        "a list is no event",
    ),
    Broken("no instant", '"at": "2026-11-25T08:01:00Z", ', "", "line 2, at", 'write e.g. "at": "2026-11-25T08:00:00Z"'),
    Broken("an instant without an offset", "08:01:00Z", "08:01:00", "line 2, at", "is not a date and time"),
    Broken("an instant with a blank", "2026-11-25T08:01", "2026-11-25 08:01", "line 2, at", "is not a date and time"),
    Broken(
        "an instant on no day", "2026-11-25T08:01", "2026-02-30T08:01", "line 2, at", "is no moment of the calendar"
    ),
    Broken(
        "an instant that is a number", '"2026-11-25T08:01:00Z"', "1795593660", "line 2, at", "is not a date and time"
    ),
    Broken("no act", '"act": "undo", ', "", "line 5, act", "key 'act' is missing"),
    Broken("an unknown act", '"undo"', '"undoo"', "line 5, act", "did you mean 'undo'?"),
    Broken(
        "an act that is a number",
        '"undo"',
        "1",
        "line 5, act",
        "write one of start, done, undo, cover, uncover, close-set, send-back, mark, lift-mark, got-wet, "
        "seen-good, test-spot, no-test-spot, bays, move, move-undone, air, air-corrected, identity, brakes, note",
    ),
    Broken("no zone", ', "zone": "windscreen", "step": "wipe"}', "}", "line 6, zone", "key 'zone' is missing"),
    Broken("no step", ', "step": "wipe"}', "}", "line 6, step", 'write e.g. "step": "coat-1"'),
    Broken(
        "a zone that is null",
        '"undo", "zone": "windscreen"',
        '"undo", "zone": null',
        "line 5, zone",
        "null is not text",
    ),
    Broken("a zone with blanks", '"undo", "zone": "wind', '"undo", "zone": "Wind ', "line 5, zone", "is no id"),
    Broken("an unknown key", '"undo", "zone"', '"undo", "zones"', "line 5, zones", "did you mean 'zone'?"),
    Broken("a key of another act", '"undo", ', '"undo", "step": "wipe", ', "line 5, step", "unknown key 'step'"),
    Broken("a key twice", '"undo", ', '"undo", "zone": "roof", ', "line 5", "key 'zone' stands twice"),
    Broken("air that is no number", '"air_c": 20', '"air_c": NaN', "line 1", "NaN is not a number"),
    Broken("air without end", '"air_c": 20', '"air_c": 1e999', "line 1, air_c", "degrees Celsius as a number"),
    Broken("air in words", '"air_c": 20', '"air_c": "20"', "line 1, air_c", "'20' is not a number"),
    Broken("air that is true", '"air_c": 20', '"air_c": true', "line 1, air_c", "true is not a number"),
    Broken("air of an oven", '"air_c": 20', '"air_c": 200', "line 1, air_c", "at most 90 degrees Celsius"),
    Broken("air drier than dry", '"rh_percent": 50', '"rh_percent": 0', "line 1, rh_percent", "more than 0 per cent"),
    Broken(
        "air wetter than wet", '"rh_percent": 50', '"rh_percent": 101', "line 1, rh_percent", "at most 100 per cent"
    ),
    Broken("no humidity", '"rh_percent": 50, ', "", "line 1, rh_percent", "key 'rh_percent' is missing"),
    Broken(
        "a correction of no reading",
        '"undo", "zone": "windscreen"',
        '"air-corrected", "withdrawn": true',
        "line 5, corrects",
        "key 'corrects' is missing",
    ),
    Broken(
        "a correction to nothing",
        '"undo", "zone": "windscreen"',
        '"air-corrected", "corrects": "2026-11-25T08:00:00Z", "air_c": 18',
        "line 5",
        "give air_c and rh_percent",
    ),
    Broken(
        "a reading withdrawn and corrected",
        '"undo", "zone": "windscreen"',
        '"air-corrected", "corrects": "2026-11-25T08:00:00Z", "air_c": 18, "withdrawn": true',
        "line 5",
        "either withdrawn or given other values",
    ),
    Broken("a mark of no kind", UNDO, '"mark", "zone": "roof"', "line 5, kind", 'e.g. "kind": "film"'),
    Broken("a mark on nothing", UNDO, '"mark", "kind": "matt"', "line 5", "say where"),
    Broken(
        "a mark on this and that",
        UNDO,
        '"mark", "kind": "matt", "zone": "roof", "zones": ["bonnet"]',
        "line 5",
        "once",
    ),
    Broken("a repaint of no day", UNDO, '"mark", "kind": "repainted", "zones": ["roof"]', "line 5", "its day as well"),
    Broken("a lift of no kind", UNDO, '"lift-mark", "zone": "roof"', "line 5, kind", 'e.g. "kind": "film"'),
    Broken("a note of blanks", '"a chip at the edge"', '" "', "line 4, text", "nothing but blanks"),
    Broken("a person with a bell", '"wipe"}', '"wipe", "by": "A\\u0007"}', "line 6, by", "U+0007"),
    Broken("a note of nothing", '"a chip at the edge"', '""', "line 4, text", "text is empty"),
    Broken("a note without end", "a chip at the edge", "x" * 501, "line 4, text", "longer than 500 letters"),
    Broken("an empty reason", '"wipe"}', '"wipe", "deviation": ""}', "line 6, deviation", "deviation is empty"),
    Broken("a person without a name", '"wipe"}', '"wipe", "by": ""}', "line 6, by", "by is empty"),
    Broken("a pit of lists", '"undo"', "[" * 10_000, "line 5", "out of all range"),
)
