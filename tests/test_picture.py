"""Pictures of the finished head, as the command line makes them: read back byte by byte.

The reader of PNG is written from ISO/IEC 15948 and shares no code with lengthwise.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree; LW_EXAMPLES, names of the examples where not all are tried.
"""
import json
import os
import pathlib
import struct
import subprocess
import sys
import tempfile
import unittest
import zlib

from test_export import Model

PROGRAM = os.environ["LW_PROGRAM"]
FEW = os.environ.get("LW_EXAMPLES", "").split(",")
EXAMPLES = sorted(path for path in pathlib.Path(os.environ["LW_SOURCE"], "examples").glob("*.json") if FEW == [""] or path.stem in FEW)
BOB = next(path for path in EXAMPLES if path.name == "graduated-bob.json")
FINE, INPUT, USAGE, MACHINE = 0, 1, 2, 3
REPORT = r"\A(lengthwise: \d+ of \d+ hairs did not come to rest\n.*\n)?\Z"
LONG = ["disconnected-layers", "fringe", "increasing-layers"] # seen from the front; the others end at the chin or above it
SIDES = ["front", "back", "left", "right", "above", "three-quarter"]


class Picture:
    """Eight bits a sample, with or without alpha, not interlaced."""

    def __init__(self, data):
        assert data[:8] == b"\x89PNG\r\n\x1a\n"
        at, packed = 8, b""
        while at < len(data):
            size, kind = struct.unpack_from(">I4s", data, at)
            body = data[at + 8:at + 8 + size]
            assert zlib.crc32(kind + body) == struct.unpack_from(">I", data, at + 8 + size)[0]
            if kind == b"IHDR":
                self.width, self.height, depth, colour, _, _, interlace = struct.unpack(">IIBBBBB", body)
                assert depth == 8 and colour in (2, 6) and interlace == 0
                self.size = 4 if colour == 6 else 3
            packed += body if kind == b"IDAT" else b""
            at += 12 + size
        flat, row, self.rows = zlib.decompress(packed), self.width * self.size, []
        before = bytearray(row)
        for y in range(self.height):
            kind, line = flat[y * (row + 1)], bytearray(flat[y * (row + 1) + 1:(y + 1) * (row + 1)])
            for i in range(row):
                a, b = line[i - self.size] if i >= self.size else 0, before[i]
                c = before[i - self.size] if i >= self.size else 0
                p = a + b - c
                nearest = min([a, b, c], key=lambda v: abs(p - v))
                line[i] = (line[i] + [0, a, b, (a + b) // 2, nearest][kind]) & 255
            self.rows.append(line)
            before = line

    def at(self, x, y):
        return tuple(self.rows[y][x * self.size:(x + 1) * self.size])

    def dark(self, top=0):
        """How many pixels from a row down are darker than the bust and its background ever are in the light."""
        return sum(sum(self.at(x, y)[:3]) < 240 for y in range(top, self.height) for x in range(self.width) if self.covered(x, y))

    def covered(self, x, y):
        return self.size == 3 or self.at(x, y)[3] > 127

    def breadth(self, top, bottom):
        xs = [x for x in range(self.width) if any(self.covered(x, y) for y in range(top, bottom))]
        return max(xs) - min(xs) + 1


MADE = {}  # what was drawn: tests ask for the same pictures, and none changes them


class Place(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.path = pathlib.Path(folder.name)

    def picture(self, plan, *words):
        asked = (plan, *words)
        if asked not in MADE:
            target = self.path / "picture.png"
            few = ["--height", 120] if "--height" not in words else []
            result = subprocess.run([PROGRAM, "picture", plan, "-o", target, "--hairs-count", "600", *map(str, few), *map(str, words)],
                                    capture_output=True, text=True)
            self.assertEqual((result.returncode, result.stdout), (FINE, ""))
            self.assertRegex(result.stderr, REPORT)
            MADE[asked] = target.read_bytes()
        return MADE[asked]


class Shown(Place):
    def chin(self, plan, shown):
        """The row of the chin in a picture from the front without a background, and pixels in a metre: what is shown is as
        broad, from its top to the tragions, as the model of the same hairs."""
        model = self.path / "model.glb"
        words = ["export", plan, "-o", model, "--hairs-count", "600", "--detail", "coarse"]
        subprocess.run([PROGRAM, *words], capture_output=True, check=True)
        model = Model(model.read_bytes())
        points = model.attribute("bust", "POSITION") + model.attribute("hair", "POSITION")
        top, row = max(p[1] for p in points), next(y for y in range(shown.height) if any(shown.covered(x, y) for x in range(shown.width)))
        xs, scale = [p[0] for p in points if p[1] > 0], shown.height / .4
        for _ in range(8):
            scale = shown.breadth(row, row + round(top * scale)) / (max(xs) - min(xs))
        told = json.loads(subprocess.run([PROGRAM, "head", "--json", "--plan", plan], capture_output=True, check=True).stdout)
        ear_to_top = next(measure["length"] for measure in told["measures"] if measure["name"] == "ear_to_top")
        return row + (top + 97 / 131.2 * ear_to_top) * scale, scale # the chin: docs/model.md, "Levels of the face"

    def test_every_example_from_the_front_has_hair_below_the_chin_where_the_plan_leaves_it(self):
        for plan in EXAMPLES:
            with self.subTest(plan=plan.name):
                shown = Picture(self.picture(plan, "--hair", "black", "--transparent"))
                self.assertEqual((shown.width, shown.height), (90, 120))
                self.assertGreater(shown.dark(), 250)
                chin, scale = self.chin(plan, shown)
                below = shown.dark(round(chin + .02 * scale)) / (.1 * scale) ** 2 # square decimetres
                if plan.stem in LONG:
                    self.assertGreater(below, .25)
                else:
                    # coils stand out to both sides of the neck
                    self.assertLess(below, .12 if plan.stem == "tight-curls" else .05)

    def test_sides_differ(self):
        seen = set()
        for side in SIDES[:3]:
            data = self.picture(BOB, "--side", side)
            self.assertGreater(Picture(data).dark(), 1000)
            seen.add(data)
        self.assertEqual(len(seen), 3)

    def test_left_out_it_is_the_front_in_dark_brown(self):
        self.assertEqual(self.picture(BOB), self.picture(BOB, "--side", "front", "--hair", "dark-brown"))

    def test_colours_go_from_dark_to_light(self):
        light = []
        for colour in ["black", "mid-brown", "fair"]:
            shown = Picture(self.picture(BOB, "--side", "back", "--hair", colour))
            light.append(sum(sum(shown.at(x, y)[:3]) for x in range(30, 60) for y in range(30, 60)))
        self.assertEqual(light, sorted(light))
        self.assertGreater(light[2], 1.5 * light[0])

    def test_it_can_be_laid_over_something(self):
        shown = Picture(self.picture(BOB, "--transparent"))
        self.assertEqual(shown.size, 4)
        self.assertEqual([shown.at(x, 0)[3] for x in (0, 89)], [0, 0])
        self.assertEqual(shown.at(45, 60)[3], 255)

    def test_the_height_is_what_was_asked_for(self):
        shown = Picture(self.picture(BOB, "--height", 203))
        self.assertEqual((shown.width, shown.height), (152, 203))

    def test_the_same_bytes_on_any_number_of_threads(self):
        self.assertEqual(self.picture(BOB, "--threads", 1), self.picture(BOB, "--threads", 3))


class Trouble(Place):
    def refuse(self, code, *words, said):
        result = subprocess.run([PROGRAM, "picture", *map(str, words)], capture_output=True, text=True)
        self.assertEqual((result.returncode, result.stdout), (code, ""), result.stderr)
        self.assertIn(said, result.stderr)

    def test_words_that_make_no_sense(self):
        target = self.path / "a.png"
        self.refuse(USAGE, BOB, said="needs --output")
        self.refuse(USAGE, said="picture needs PLAN")
        for name in ["a.jpg", "a.png.gz", "a.PDF"]:
            self.refuse(USAGE, BOB, "-o", self.path / name, said=f"the ending of {self.path / name} says another format\n  End it in .png")
        self.refuse(USAGE, BOB, "-o", target, "--side", "below", said="--side")
        self.refuse(USAGE, BOB, "-o", target, "--hair", "brown", said="--hair")
        for height in [0, 63, 8193, 10**12]:
            self.refuse(USAGE, BOB, "-o", target, "--height", height, said="--height is from 64 to 8192")
        self.refuse(INPUT, self.path / "none.json", "-o", target, said="none.json")
        self.assertEqual(list(self.path.iterdir()), [])

    def test_what_cannot_be_written_leaves_nothing(self):
        few = ["--hairs-count", 200, "--height", 64]
        self.refuse(MACHINE, BOB, "-o", "/dev/full", *few, said="No space left")
        self.refuse(MACHINE, BOB, "-o", self.path / "no" / "a.png", *few, said="No such file")
        self.assertEqual(list(self.path.iterdir()), [])


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
