#!/usr/bin/python3
"""subset.py FOLDER: makes the two fonts here from Inter-Regular.otf and Inter-SemiBold.otf in FOLDER (needs python3-fonttools)."""
import os
import sys

from fontTools import subset
from fontTools.ttLib import TTFont

SIGNS = ("0020-007E,00A0-00FF,0131,0152-0153,0160-0161,0178,017D-017E,0391-03A9,03B1-03C9,2010-2015,2018-201E,2022,2026,2030,"
         "2032-2033,2039-203A,2044,2070,2074-2079,207B,2080-2089,20AC,2190-2193,2212,221A,221E,2248,2260,2264-2265,25A0-25A1,"
         "25B2-25B3,25BC-25BD,25CB,25CF,2713,2717")
ALIGNED = "0123456789+\u2212\u00b1"


def substitutions(font, tag):
    """Glyphs that a feature puts in the place of others."""
    table, found = font["GSUB"].table, {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == tag:
            for index in record.Feature.LookupListIndex:
                for part in table.LookupList.Lookup[index].SubTable:
                    found.update(getattr(getattr(part, "ExtSubTable", part), "mapping", {}))
    return found


here = os.path.dirname(os.path.abspath(__file__))
for weight in ("Regular", "SemiBold"):
    font = TTFont(os.path.join(sys.argv[1], f"Inter-{weight}.otf"))
    tabular = substitutions(font, "tnum")
    for table in font["cmap"].tables:
        for sign in ALIGNED:
            glyph = table.cmap.get(ord(sign))
            table.cmap[ord(sign)] = tabular.get(glyph, glyph)
    options = subset.Options()
    options.layout_features = ["kern", "mark", "mkmk", "ccmp"]
    options.hinting = False
    options.notdef_outline = True
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=subset.parse_unicodes(SIGNS))
    cutter.subset(font)
    font.save(os.path.join(here, f"Inter-{weight}.otf"))
