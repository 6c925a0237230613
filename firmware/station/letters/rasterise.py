#!/usr/bin/env python3
"""Rasterises the station's letters from the face B612 into src/letters/*.bin.

It leaves drawing to src/letters.rs, which also documents the file form. The
letters are checked in, so this is run only when a size or a letter is added:

    npm pack @fontsource/b612@5.3.0 && tar xzf fontsource-b612-5.3.0.tgz
    python3 -m venv venv
    venv/bin/pip install fonttools==4.68.0 freetype-py==2.5.1 pillow==13.0.0
    venv/bin/python rasterise.py package/files/b612-latin-400-normal.woff [--preview DIR]

Expects B612 Regular 1.008 as that package carries it (checksum below); refuses
another file. FreeType 2.13.2 (inside freetype-py 2.5.1) gives these very bytes.

What is done to the outlines, and why:
- Heights are bent so that flat and round capitals and digits fill exactly the
  stated number of rows, small letters end on a row too, and descenders and
  accents are shortened: rows are scarce on a small panel, and a stated height
  has to be a true one.
- The tail of Q is drawn up to the line: words in capitals need no rows below it.
- The word sizes are set narrower, with the upright strokes kept at their
  width, so that a 320 pixel line holds a sentence.
- The smallest words are ink or paper in every pixel, for panels of one bit.
- Every letter's ink lies inside its own advance, so that letters may be
  painted one by one with their paper.
"""

import argparse
import hashlib
import io
import pathlib
import struct
import sys

import freetype
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

SHA256 = "aeec41c5dd29ee59a36710c59d5526ef8224be441b33aeb0c3de6d8132158b24"
FREETYPE = (2, 13, 2)
UNITS = 2000
CAP, SMALL, OVERSHOOT = 1500, 1100, 30
DEEPEST, HIGHEST = 517, 1920
STEM = 240
MISSING = 0xFFFD

WORDS = [
    *range(0x20, 0x7F),
    *range(0xA1, 0x100),
    *(ord(c) for c in "\u2013\u2014\u2018\u2019\u201c\u201d\u2026\u2032\u2033\u2044"),
    *(ord(c) for c in "\u0152\u0153\u20ac\u2190\u2191\u2192\u2193"),
    MISSING,
]
DIGITS = [ord(c) for c in " 0123456789.'\"-\u2032\u2033"] + [MISSING]

# name: capital rows, width in thousandths, digit advance (0: the face's own), letters
FACES = {
    "words_11": (11, 760, 0, WORDS),
    "words_16": (16, 880, 0, WORDS),
    "words_20": (20, 880, 0, WORDS),
    "words_25": (25, 880, 0, WORDS),
    "words_30": (30, 880, 0, WORDS),
    "words_33": (33, 880, 0, WORDS),
    "words_50": (50, 880, 0, WORDS),
    "digits_33": (33, 880, 0, DIGITS),
    "digits_42": (42, 920, 0, DIGITS),
    "digits_74": (74, 920, 52, DIGITS),
    "digits_90": (90, 920, 64, DIGITS),
    "digits_150": (150, 920, 106, DIGITS),
}
# Digits as they are among all letters: hinting goes by the letters that a font has.
AMONG_WORDS = {"digits_33"}
# For panels of one bit: a pixel is ink or paper, nothing between.
ONE_BIT = {"words_11"}


class Bend:
    """The map from the face's heights to rows, in units of 1/64 row."""

    def __init__(self, cap):
        scale = cap / CAP
        small = round(SMALL * scale)
        deep = max(3, round(DEEPEST * scale * 0.7))
        high = max(3, round((HIGHEST - CAP) * scale * 0.55))
        self.cap, self.deep, self.high = cap, deep, high
        self.knots = [
            (-DEEPEST, -deep),
            (-OVERSHOOT, 0),
            (0, 0),
            (SMALL, small),
            (SMALL + OVERSHOOT, small),
            (CAP - 5, cap),
            (CAP + OVERSHOOT, cap),
            (HIGHEST, cap + high),
        ]

    def rows(self, y):
        for (y0, r0), (y1, r1) in zip(self.knots, self.knots[1:]):
            if y <= y1:
                break
        return r0 + (r1 - r0) * (max(y, -DEEPEST) - y0) / (y1 - y0)


def polygon(pen, points):
    pen.moveTo(points[0])
    for p in points[1:]:
        pen.lineTo(p)
    pen.closePath()


def drawn(code, cap):
    """Arrows and the box for a letter that is missing: (advance, polygons)."""
    if code in (0x2190, 0x2192):
        right = [(60, 620), (760, 620), (760, 270), (1500, 750), (760, 1230), (760, 880), (60, 880)]
        if code == 0x2192:
            return 1560, [right]
        return 1560, [[(1560 - x, y) for x, y in reversed(right)]]
    if code in (0x2191, 0x2193):
        down = [(470, 1500), (470, 800), (120, 800), (600, 0), (1080, 800), (730, 800), (730, 1500)]
        if code == 0x2193:
            return 1200, [down]
        return 1200, [[(x, 1500 - y) for x, y in reversed(down)]]
    if code == MISSING:
        # One to three rows thick at every size, so that it never fills in.
        t = 1500 * max(1, round(cap / 14)) // cap
        outer = [(100, 0), (100, 1500), (1000, 1500), (1000, 0)]
        inner = [(100 + t, t), (1000 - t, t), (1000 - t, 1500 - t), (100 + t, 1500 - t)]
        return 1100, [outer, inner]
    return None


def bent_font(source, cap, width, codes):
    """The face with its outlines bent for this size, as a font in memory."""
    font = TTFont(source)
    cmap = font.getBestCmap()
    glyphs = font.getGlyphSet()
    bend = Bend(cap)
    # One row is this many units of the bent font.
    unit = CAP / cap
    order, table, metrics, mapping = [".notdef"], {}, {".notdef": (1000, 0)}, {}
    table[".notdef"] = TTGlyphPen(None).glyph()
    for code in sorted(codes):
        name = f"u{code:04X}"
        pen = TTGlyphPen(None)
        own = drawn(code, cap)
        if own:
            advance, polygons = own
            for points in polygons:
                polygon(pen, points)
        else:
            base = cmap[0x2F if code == 0x2044 else code]
            advance = font["hmtx"][base][0]
            record = DecomposingRecordingPen(glyphs)
            glyphs[base].draw(record)
            record.replay(pen)
        glyph = pen.glyph()
        for i, (x, y) in enumerate(glyph.coordinates if glyph.numberOfContours else []):
            if code == ord("Q"):
                y = max(y, 0)
            glyph.coordinates[i] = (round(x * width / 1000), round(bend.rows(y) * unit))
        order.append(name)
        table[name] = glyph
        metrics[name] = (round(advance * width / 1000), 0)
        mapping[code] = name

    builder = FontBuilder(UNITS, isTTF=True)
    builder.setupGlyphOrder(order)
    builder.setupCharacterMap(mapping)
    builder.setupGlyf(table)
    lsb = {n: (metrics[n][0], getattr(table[n], "xMin", 0) or 0) for n in order}
    builder.setupHorizontalMetrics(lsb)
    builder.setupHorizontalHeader(ascent=2000, descent=-600)
    builder.setupNameTable({"familyName": "station", "styleName": str(cap)})
    builder.setupOS2(sCapHeight=CAP, sxHeight=SMALL)
    builder.setupPost()
    builder.font["head"].created = builder.font["head"].modified = 0
    out = io.BytesIO()
    builder.font.save(out, reorderTables=False)
    return out.getvalue(), bend


def rasterise(font, cap, width, digit_advance, codes):
    """{code: (advance, left, top row above the baseline, rows of levels 0..3)}"""
    face = freetype.Face(io.BytesIO(font))
    face.set_char_size(round(cap * UNITS * 64 / CAP))
    flags = freetype.FT_LOAD_TARGET_LIGHT | freetype.FT_LOAD_FORCE_AUTOHINT
    bolder = round(STEM * (1000 - width) / 1000 * cap / CAP * 64)
    glyphs = {}
    for code in sorted(codes):
        own = drawn(code, cap) is not None
        face.load_char(chr(code), freetype.FT_LOAD_NO_HINTING if own else flags)
        slot = face.glyph
        advance = (slot.linearHoriAdvance + 0x8000) >> 16
        if bolder and not own:
            outline = slot.outline._FT_Outline
            freetype.FT_Outline_EmboldenXY(freetype.byref(outline), bolder, 0)
            freetype.FT_Outline_Translate(freetype.byref(outline), -bolder // 2, 0)
        slot.render(freetype.FT_RENDER_MODE_NORMAL)
        bitmap = slot.bitmap
        rows = [
            [(bitmap.buffer[r * bitmap.pitch + c] + 42) // 85 for c in range(bitmap.width)]
            for r in range(bitmap.rows)
        ]
        left, top = slot.bitmap_left, slot.bitmap_top
        while rows and not any(rows[0]):
            rows.pop(0)
            top -= 1
        while rows and not any(rows[-1]):
            rows.pop()
        while rows and not any(r[0] for r in rows):
            rows = [r[1:] for r in rows]
            left += 1
        while rows and not any(r[-1] for r in rows):
            rows = [r[:-1] for r in rows]
        ink = len(rows[0]) if rows else 0
        if digit_advance and chr(code).isdigit():
            left -= (advance - digit_advance) // 2
            advance = digit_advance
        left = max(0, left)
        advance = max(advance, left + ink)
        glyphs[code] = (advance, left, top, rows)
    tabular = max(glyphs[ord(d)][0] for d in "0123456789")
    for d in map(ord, "0123456789"):
        advance, left, top, rows = glyphs[d]
        glyphs[d] = (tabular, left + (tabular - advance) // 2, top, rows)
    return glyphs


def whole(advance, left, top, rows):
    """A letter whose pixels are half covered or more, or not at all."""
    return advance, left, top, [[3 if v >= 2 else 0 for v in row] for row in rows]


def runs(levels, bits):
    """Runs of so many bits: level in the two high ones, length less one in the others; the first in the high bits."""
    out, most, i = [], 1 << bits - 2, 0
    while i < len(levels):
        n = 1
        while i + n < len(levels) and n < most and levels[i + n] == levels[i]:
            n += 1
        out.append(levels[i] << bits - 2 | n - 1)
        i += n
    return packed(out, bits)


def packed(values, bits):
    """So many bits to a value, as many to a byte as go, the first in the high bits."""
    each = 8 // bits
    values = values + [0] * (-len(values) % each)
    groups = zip(*[iter(values)] * each)
    return bytes(sum(v << bits * (each - 1 - i) for i, v in enumerate(group)) for group in groups)


def data_of(rows):
    """(bits of a run, data): which rows are the same as the one above, and the others."""
    repeats = [int(i > 0 and row == rows[i - 1]) for i, row in enumerate(rows)]
    levels = [v for row, again in zip(rows, repeats) if not again for v in row]
    bits, shortest = min(((b, runs(levels, b)) for b in (2, 4, 8)), key=lambda form: len(form[1]))
    return bits, packed(repeats, 1) + shortest


def face_file(glyphs, bend):
    above = max(max(t for _, _, t, r in glyphs.values() if r), bend.cap)
    below = max(max(len(r) - t for _, _, t, r in glyphs.values() if r), 0)
    records, data = bytearray(), bytearray()
    for code, (advance, left, top, rows) in sorted(glyphs.items()):
        bits, coverage = data_of(rows)
        ink = len(rows[0]) if rows else 0
        assert left + ink <= advance <= 255
        records += struct.pack(
            "<HHBBBBBB",
            code,
            len(data),
            advance,
            left,
            above - top if rows else 0,
            ink,
            len(rows),
            bits,
        )
        data += coverage
    head = struct.pack("<4sBBBBHH", b"ltr2", bend.cap, above, below, 0, len(glyphs), 0)
    return head + bytes(records) + bytes(data)


def preview(glyphs, bend, path):
    from PIL import Image

    lines = ["Bed 2 \u00b7 wall 3 \u2190 \u2192 \u2191 \u2193", "K\u00fcche \u00c9t\u00e9 cope 22.5\u00b0 right", "outside miter 124 63/64\u2033 \u2026 \ufffd", "ABCDEFGHIJKLMNOPQRSTUVWXYZ", "abcdefghijklmnopqrstuvwxyz", "0123456789 ()[]{}<>@#$%&*!?"]
    pitch = bend.cap + bend.deep + bend.high + 2
    image = Image.new("L", (40 * bend.cap // 2 + 200, pitch * len(lines)), 255)
    for n, line in enumerate(lines):
        x, base = 4, n * pitch + bend.high + bend.cap
        for c in line:
            advance, left, top, rows = glyphs.get(ord(c), glyphs[MISSING])
            for r, row in enumerate(rows):
                for i, v in enumerate(row):
                    if x + left + i < image.width and v:
                        image.putpixel((x + left + i, base - top + r), 255 - 85 * v)
            x += advance
    image.save(path)


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("woff", type=pathlib.Path)
    parser.add_argument("--preview", type=pathlib.Path, help="folder for pictures to look at")
    arguments = parser.parse_args()
    source = arguments.woff.read_bytes()
    if hashlib.sha256(source).hexdigest() != SHA256:
        sys.exit(f"{arguments.woff}: not the B612 Regular 1.008 that this script expects")
    if freetype.version() != FREETYPE:
        print(f"FreeType {freetype.version()}, not {FREETYPE}: pixels may differ", file=sys.stderr)
    folder = pathlib.Path(__file__).resolve().parent.parent / "src" / "letters"
    total = 0
    for name, (cap, width, digit_advance, codes) in FACES.items():
        drawn_with = WORDS if name in AMONG_WORDS else codes
        font, bend = bent_font(io.BytesIO(source), cap, width, drawn_with)
        glyphs = rasterise(font, cap, width, digit_advance, codes)
        if name in ONE_BIT:
            glyphs = {code: whole(*glyph) for code, glyph in glyphs.items()}
        out = face_file(glyphs, bend)
        (folder / f"{name}.bin").write_bytes(out)
        total += len(out)
        print(f"{name}: {len(glyphs)} letters, {len(out)} bytes")
        if arguments.preview:
            preview(glyphs, bend, arguments.preview / f"{name}.png")
    print(f"{total} bytes in all")


if __name__ == "__main__":
    main()
