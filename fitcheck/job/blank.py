"""The empty bench sheet: what to measure, where, and with what."""

from __future__ import annotations

BLANK_SHEET = """\
# Bench sheet. Fill in what you can measure and leave the rest as it is.
# A value is text with its unit: "34.92", "1-3/8in", "0.25mm". Bare numbers are in the unit below.
# Name the instrument after an @ where it is no caliper: "34.92mm@micrometer".
# Several readings of one place are a list: ["52.02", "52.05"].
# Instruments: tape, caliper, micrometer, bore-gauge, depth-gauge, feeler, indicator.

[job]
title = ""
machine = ""        # make no assumptions: what stands on its plate
date = ""
unit = "mm"         # mm or in: what a bare number means
turning = ""        # hub or shaft: the member that turns
oil = ""            # what is inside: gear oil, engine oil, grease ...
speed = ""          # 300rpm
temperature = ""    # of the oil when working: 70C
pressure = ""       # at the lip, if any: 0.2bar
note = ""

# One table for each lip seal. Replace them all together, whichever leaks.
[[seal]]
name = "inner seal"
shaft = []          # unworn land beside the track, top and bottom; micrometer
track = []          # in the worn track, where it is deepest; micrometer
bore = []           # housing bore, two directions; bore gauge
pocket = ""         # face to shoulder; depth gauge
old_od = []         # old seal: outside of the case, four directions; caliper
old_lip = ""        # old seal: free inside diameter of the lip; caliper
old_width = ""      # old seal: width of the case without dust lip; caliper
mark = ""           # what can be read on it, ? for a lost character
case = ""           # metal or rubber: the outside of the old seal
groove_depth = ""   # if measured by itself: one side, not the difference of two diameters
groove_width = ""   # along the shaft
lip_at = ""         # distance of the track from the shaft end
room = ""           # free bore depth beyond the seal
pitted = false      # pits or scores along the shaft
oval = false        # the counterface is out of round

# One table for each tapered bearing.
[[bearing]]
name = "inner bearing"
mark = []           # the numbers on cone and cup, ? for a lost character
bore = []           # of the cone, two directions; bore gauge
od = []             # of the cup, two directions; micrometer
width = ""          # assembled, cone seated in the cup; depth gauge
cone_width = ""     # of the cone alone; caliper
cup_width = ""      # of the cup alone; caliper
journal = []        # where the cone sits, top and bottom; micrometer
housing = []        # where the cup sits, two directions; bore gauge
housing_material = "steel"   # steel, iron or light-alloy

# What is on the shelf already, by size or designation.
[shelf]
seals = []
bearings = []
sleeves = []
"""
