"""A small car with two panes and a recipe of its own, short enough to reckon by hand."""

SMALL = """\
format = "bayapp-job/1"
title = "Small car"
vehicle = "estate"
crew = ["Ash"]
start = 2026-11-25T08:00:00Z
[[work]]
zones = ["windscreen", "rear-screen"]
recipe = "own"
[recipe.own]
[[recipe.own.step]]
id = "wipe"
kind = "wipe"
minutes = 2
[[recipe.own.step]]
id = "coat"
kind = "coat"
minutes = 3
wait = { min = 5, max = 30 }
"""
