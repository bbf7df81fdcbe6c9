#!/usr/bin/python3
"""subset.py FOLDER: makes the two fonts here from Inter-Regular.otf and Inter-SemiBold.otf in FOLDER (needs python3-fonttools)."""
import os
import sys

from fontTools import subset
from fontTools.pens.cu2quPen import Cu2QuPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont, newTable

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


def to_quadratic(font):
    """Outlines as quadratic curves, to a thousandth of an em: every library reads those."""
    glyphs, drawn = font.getGlyphSet(), {}
    for name in font.getGlyphOrder():
        pen = TTGlyphPen(glyphs)
        glyphs[name].draw(Cu2QuPen(pen, font["head"].unitsPerEm / 1000, reverse_direction=True))
        drawn[name] = pen.glyph()
    font["glyf"] = newTable("glyf")
    font["glyf"].glyphOrder = font.getGlyphOrder()
    font["glyf"].glyphs = drawn
    font["loca"] = newTable("loca")
    font["maxp"].tableVersion = 0x00010000
    for field in ("maxZones maxTwilightPoints maxStorage maxFunctionDefs maxInstructionDefs maxStackElements maxSizeOfInstructions "
                  "maxComponentElements maxPoints maxContours maxCompositePoints maxCompositeContours maxComponentDepth").split():
        setattr(font["maxp"], field, 1 if field == "maxZones" else 0)
    font["post"].formatType, font["post"].extraNames, font["post"].mapping = 3.0, [], {}
    del font["CFF "]
    if "VORG" in font:
        del font["VORG"]
    font.sfntVersion = "\000\001\000\000"


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
    to_quadratic(font)
    font.save(os.path.join(here, f"Inter-{weight}.ttf"))
