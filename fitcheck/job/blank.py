"""The empty bench sheet: what to measure, where, and with what."""

from __future__ import annotations

BLANK_SHEET = """\
# Bench sheet. Fill in what you can measure and leave the rest as it is.
# A value is text with its unit: "34.92", "1-3/8in", "0.25mm". Bare numbers are in the unit below.
# Name the instrument after an @ where it is no caliper: "34.92mm@micrometer".
# Several readings of one place are a list: ["52.02", "52.05"].
# Instruments: tape, caliper, micrometer, bore-gauge, depth-gauge, feeler, indicator.
# Every table may have a note, and a unit of its own where it differs from the job's.

[job]
title = ""
machine = ""        # what stands on its plate
place = ""
date = ""
unit = "mm"         # mm or in: what a bare number means
instrument = ""     # what readings are taken with that name no instrument
turning = ""        # hub or shaft: the member that turns
oil = ""            # what is inside: gear oil, engine oil, grease ...
speed = ""          # 300rpm
temperature = ""    # of the oil when working: 70C
pressure = ""       # at the lip, if any: 0.2bar
note = ""
list = ""           # a stored list whose own sizes are matched, instead of the standard ones
certainty = 0.95    # how sure a size has to be, 0.5 to 1
invented = false    # true for a sheet that is no real job

# One table for each lip seal. Replace them all together, whichever leaks.
[[seal]]
name = "inner seal"
quantity = 1        # how many of them
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
shaft_end = ""      # small end of the shaft's lead-in chamfer; caliper
bore_chamfer = ""   # length of the bore's lead-in chamfer, along the axis; caliper
bare_shaft = false  # true when you looked: no sleeve and no ring of an old seal on the shaft
pitted = false      # pits or scores along the shaft
oval = false        # the counterface is out of round
rpm = ""            # these four only where they differ from the job's: 300rpm
oil = ""
oil_temp = ""
pressure = ""
unit = ""
note = ""

# One table for each tapered bearing.
[[bearing]]
name = "inner bearing"
quantity = 1
mark = []           # the numbers on cone and cup, ? for a lost character
bore = []           # of the cone, two directions; bore gauge
od = []             # of the cup, two directions; micrometer
width = ""          # assembled, cone seated in the cup; depth gauge
cone_width = ""     # of the cone alone; caliper
cup_width = ""      # of the cup alone; caliper
thickness = ""      # a width, where it is not known which of the three
journal = []        # where the cone sits, top and bottom; micrometer
housing = []        # where the cup sits, two directions; bore gauge
housing_material = ""  # steel, iron or light-alloy; steel is taken where blank
turning = ""        # hub or shaft, where it differs from the job's
unit = ""
note = ""

# One table for each part that is pressed or shrunk on. Take the # away from what you fill in.
# [[press]]
# name = "collar on the axle"
# quantity = 1
# use = ""          # collar, cup, bushing or sleeve
# interface = ""    # diameter where the two meet; micrometer
# outer = ""        # outside diameter of the outer part; caliper
# inner = ""        # bore of the inner part, 0 where it is solid; caliper
# length = ""       # of contact; caliper
# interference = "" # on the diameter, or instead the fit
# fit = ""          # H7/s6
# outer_material = ""
# inner_material = ""
# condition = ""    # dry, oiled or shrink: the faces when fitted; or the friction itself
# friction = ""
# outer_rz = ""     # roughness of the bore and of the seat: 6um
# inner_rz = ""
# clearance = ""    # on the diameter, wanted when hot to slip it on
# room_temp = ""    # 20C
# heat_cap = ""     # hottest the machine's manual allows
# service_temp = "" # in service: 80C
# rpm = ""          # speed in service: 300rpm
# pin = ""          # diameter of the pin that runs in the fitted bore; micrometer
# measured_hole = "" # the two fitted faces, to check the interference; bore gauge, micrometer
# measured_shaft = ""
# unit = ""
# note = ""

# One table for each setting by shims.
# [[shims]]
# name = "end cap"
# quantity = 1
# method = ""       # end-play, free-gap, lead, solder or drag: how it was measured
# measured = []     # indicator for end play, feeler for a gap, micrometer for lead or solder
# position = ""     # cap, retainer, behind-cup or spacer: where the shims sit
# fitted = ""       # the pack that came out, counted: 0.20x3,0.10x2
# pack_measured = ""  # the whole pack measured together; micrometer
# have = []         # shims for this place, where they are not those on the shelf
# tolerance = ""    # how far the pack may be off
# use = ""          # a use with a range in the tables (fitcheck tables show settings/uses)
# condition = ""    # new or used bearings
# target = ""       # or the range of the machine's manual: 0.025..0.127mm
# pull = []         # drag only: pull scale
# radius = ""       # drag only: where the pull acts
# diameter = ""     # drag only: of the drum a cord is wound on, instead of the radius
# base_drag = ""    # drag only: with the bearings slack
# span = ""         # cup to cup, for what heat does to the setting
# mounting = ""     # face-to-face or back-to-back
# housing = ""      # its material: steel, iron, light-alloy
# shaft_material = "steel"
# service_temp = "" # in service: 80C
# room_temp = ""    # when it is set: 20C
# unit = ""
# note = ""

# The oil of the hub.
# [oil]
# name = "oil"
# quantity = 1
# diameter = ""     # of the cavity, and its length; or its volume
# length = ""
# volume = ""
# fill = ""         # 0.5 is half, the usual level
# level = ""        # or how high it stands above the bottom of the cavity
# from_temp = ""    # when it is filled: 20C
# to_temp = ""      # when it works: 80C
# vented = false    # true where a breather is fitted and open
# shaft = ""        # under the largest lip, where no seal above tells it
# unit = ""
# note = ""

# What closes the hub again, and what else is in it to look at.
# [closing]
# name = "closing"
# quantity = 1
# cotter_hole = ""     # diameter of the hole, and how far the pin goes through; caliper
# cotter_through = ""
# cotter_pins = 1
# lock_plates = 0
# thread_locker = 0    # bolts that had it
# cover = ""           # o-ring, gasket or liquid
# bushing = false      # true where a bushing runs beside a seal
# universal_joints = 0
# unit = ""
# note = ""

# One table for each pivot: two bearings and the one setting of both, keys as above.
# [[pivot]]
# name = "left pivot"
# quantity = 1
# upper = { mark = "" }   # the keys of a bearing: mark, bore, od, width, journal, housing ...
# lower = { mark = "" }
# method = ""       # and the keys of a setting by shims, as above
# measured = []
# position = ""     # cap
# use = ""          # kingpin-cap
# condition = ""
# target = ""
# fitted = ""
# pack_measured = ""
# have = []
# tolerance = ""
# pull = []
# radius = ""
# diameter = ""
# base_drag = ""
# span = ""
# mounting = ""
# housing = ""
# shaft_material = "steel"
# service_temp = ""
# room_temp = ""
# unit = ""
# note = ""

# Other parts have tables of their kind, as [[oring]] or [[circlip]]: `fitcheck part --help` lists
# the kinds, `fitcheck part KIND --help` the places to read; a key has _ where its option has -.

# What is on the shelf already, by size or designation.
[shelf]
seals = []
bearings = []
sleeves = []
shims = []          # "0.10x4, 0.20x4"
"""
