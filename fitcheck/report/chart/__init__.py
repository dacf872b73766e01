"""Charts: zones and shares as SVG of our own, curves by matplotlib from the extra `charts`.

Tolerance zones and shares stand on every card, so they need no extra and are drawn on the same
sheet as the drawings. Curves want axes, ticks and bitmaps, which matplotlib does well.
"""
