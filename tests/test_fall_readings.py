"""How the cut falls, as predict and compare tell it: against the hairs that are written beside it, and in words.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree.
"""
import csv
import io
import json
import math
import os
import pathlib
import re
import statistics
import subprocess
import tempfile
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
EXAMPLES = pathlib.Path(os.environ["LW_SOURCE"], "examples")
BOB = EXAMPLES / "graduated-bob.json"
ONE_LENGTH = EXAMPLES / "one-length-bob.json"
SHORT = EXAMPLES / "short-mixed-shapes.json"
LEVELS = ["brow", "eye", "cheekbone", "lip", "chin", "collar"]


def run(*words, text=None):
    done = subprocess.run([PROGRAM, *map(str, words)], input=text, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout


def predicted(plan, *words):
    return json.loads(run("predict", "--json", *words, plan))


def with_hairs(plan, *words, text=None):
    """The prediction and every hair of it: a dictionary of numbers a hair."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder, "hairs.csv")
        told = json.loads(run("predict", "--json", "--hairs", path, *words, plan, text=text))
        rows = list(csv.DictReader(io.StringIO(path.read_text())))
    number = {"x", "y", "z", "length", "tip_x", "tip_y", "tip_z"}
    return told, [{key: float(row[key]) for key in number} for row in rows]


def section(shown, title):
    found = re.search(rf"(?m)^{title}.*?(?=^$|\Z)", shown, re.S)
    return found.group(0) if found else ""


class FromItsHairs(unittest.TestCase):
    """All hairs of the example weigh the same: its density is one number."""

    @classmethod
    def setUpClass(cls):
        cls.told, cls.hairs = with_hairs(BOB, "--hairs-count", 6000)
        cls.fall = cls.told["fall"]

    def test_all_hairs_that_are_written_are_read(self):
        self.assertEqual(self.fall["strands"], len(self.hairs))

    def test_shares_of_ends_between_levels(self):
        levels = [self.fall["levels"][name] for name in LEVELS]
        self.assertEqual(levels, sorted(levels, reverse=True))
        above = [math.inf, *levels]
        below = [*levels, -math.inf]
        for told, high, low, name in zip(self.fall["ends"], above, below, [*LEVELS, ""]):
            self.assertEqual(told["above"], name)
            share = sum(low <= hair["tip_y"] < high for hair in self.hairs) / len(self.hairs)
            self.assertAlmostEqual(told["share"], share, delta=1e-4)  # a hair in 6000 on the line

    def near(self, bearing):
        centre = self.told["head"]["centre"]
        for hair in self.hairs:
            turn = math.atan2(hair["tip_x"], hair["tip_z"] - centre[2]) - bearing
            if abs((turn + math.pi) % (2 * math.pi) - math.pi) <= math.radians(7.5):
                yield hair["tip_y"]

    def test_perimeter_round_the_head(self):
        self.assertEqual(len(self.fall["around"]), 72)
        read = 0
        for i, place in enumerate(self.fall["around"]):
            turn = place["bearing"] - math.radians(5 * i)
            self.assertAlmostEqual(math.sin(turn), 0, delta=1e-9)
            ends = sorted(self.near(place["bearing"]))
            if place["perimeter"] is None:
                continue
            read += 1
            # Whichever of the two ends next to 2 % one takes, and whichever bearing an end on the border counts to.
            low, high = ends[max(0, int(0.02 * len(ends)) - 3)], ends[int(0.02 * len(ends)) + 3]
            self.assertTrue(low - 1e-9 <= place["perimeter"] <= high + 1e-9, (i, low, place["perimeter"], high))
        self.assertGreater(read, 55)  # it is parted, and open before the face

    def test_sides_are_medians_of_their_bearings(self):
        for name, middle in [("front", 0), ("left", 18), ("back", 36), ("right", 54)]:
            side = next(s for s in self.fall["sides"] if s["side"] == name)
            reach = 8 if name in ("front", "back") else 9  # 45 and 135 degrees belong to left and right
            places = [self.fall["around"][(middle + k) % 72]["perimeter"] for k in range(-reach, reach + 1)]
            places = [place for place in places if place is not None]
            self.assertAlmostEqual(side["perimeter"], statistics.median_low(places), delta=1e-12)

    def test_outlines_go_round_the_ends(self):
        """An end in a hundred may stick out by itself; the grid has 2 mm."""
        for view, across, sign in [("front", "tip_x", 1), ("back", "tip_x", 1), ("left", "tip_z", 1), ("right", "tip_z", 1)]:
            line = self.fall["outlines"][view]
            flat = [(p[0] if across == "tip_x" else p[2], p[1]) for p in line]
            self.assertTrue(all(p[2 if across == "tip_x" else 0] == 0 for p in line))
            out = sum(not inside(flat, hair[across], hair["tip_y"]) for hair in self.hairs)
            self.assertLess(out / len(self.hairs), 0.1, view)
        breadth = max(p[0] for p in self.fall["outlines"]["front"]) - min(p[0] for p in self.fall["outlines"]["front"])
        self.assertGreater(breadth, self.fall["width"]["breadth"] - 0.004)


def inside(polygon, x, y):
    crossings = 0
    for (x0, y0), (x1, y1) in zip(polygon, polygon[1:] + polygon[:1]):
        if (y0 > y) != (y1 > y):
            crossings += x < x0 + (y - y0) / (y1 - y0) * (x1 - x0)
    return crossings % 2 == 1


class OnABall(unittest.TestCase):
    """A sphere of 9 cm with 3 cm of hair everywhere: how far a tip stands off is no program's secret."""

    PLAN = json.dumps({
        "format": "lengthwise plan", "version": 1, "units": "cm", "title": "Ball",
        "head": {"kind": "sphere", "radius": 9}, "hair": {"length": 3},
        "steps": [{"name": "all", "section": "all", "panels": {"run": "level", "thickness": 4},
                   "hold": {"elevation": 90}, "line": "follow", "guide": {"length": 2.5}}],
    })

    def test_short_hair_that_stands_up(self):
        told, hairs = with_hairs("-", "--hairs-count", 2000, text=self.PLAN)
        up = sum(h["tip_y"] > h["y"] and math.hypot(h["tip_x"], h["tip_y"], h["tip_z"]) - 0.09 > h["length"] / 2
                 for h in hairs)
        self.assertAlmostEqual(told["fall"]["standing"], up / len(hairs), delta=2e-3)
        self.assertGreater(up, 20)

    def test_a_ball_has_no_face_to_tell_heights_by(self):
        told, _ = with_hairs("-", "--hairs-count", 500, text=self.PLAN)
        self.assertEqual(set(told["fall"]["levels"].values()), {None})
        self.assertEqual({side["perimeter_words"] for side in told["fall"]["sides"]}, {""})
        shown = run("predict", "--hairs-count", 500, "-", text=self.PLAN)
        self.assertIn("heights are from the origin", shown)


class InWords(unittest.TestCase):
    def test_the_table_says_what_the_data_says(self):
        told = predicted(ONE_LENGTH)["fall"]
        shown = section(run("predict", ONE_LENGTH), "How it falls")
        self.assertIn("heights are from the chin", shown)
        for side in told["sides"]:
            row = re.search(rf"(?m)^  {side['side']} +(.*?)  +([-+][\d.]+)  (.*?)  +([-+][\d.]+)  +(\d+) %$", shown)
            self.assertIsNotNone(row, side)
            self.assertEqual(row.group(1), side["perimeter_words"])
            self.assertEqual(row.group(3), ", ".join(filter(None, [side["weight_words"], side["sharpness_word"]])))
            for shown_height, metres in [(row.group(2), side["perimeter"]), (row.group(4), side["weight"])]:
                self.assertAlmostEqual(float(shown_height), 100 * (metres - told["levels"]["chin"]), delta=0.0501)
            self.assertAlmostEqual(float(row.group(5)), 100 * side["piled"], delta=0.501)
        width = re.search(r"fullest width +([\d.]+) cm, ([\d.]+) cm (above|below) the chin", shown)
        self.assertAlmostEqual(float(width.group(1)), 100 * told["width"]["breadth"], delta=0.0501)
        up = 100 * (told["width"]["height"] - told["levels"]["chin"])
        self.assertAlmostEqual(float(width.group(2)), abs(up), delta=0.0501)
        self.assertEqual(width.group(3), "above" if up > 0 else "below")

    def test_one_length_is_sharp_and_layers_have_no_weight_line(self):
        """Common practice: one length is the sharpest line, and even layers leave none."""
        one, bob = predicted(ONE_LENGTH)["fall"]["sides"], predicted(BOB)["fall"]["sides"]
        for side, other in zip(one, bob):
            if side["side"] == "front":
                continue  # open before the face: little hair, beside it
            self.assertGreater(side["sharpness"], 2 * other["sharpness"])
        for side in one + bob:
            word = "sharp" if side["sharpness"] >= .6 else "soft" if side["sharpness"] >= .3 else "faint"
            self.assertEqual(side["sharpness_word"], "" if side["weight"] is None else word, side)
        self.assertNotIn("faint", section(run("predict", ONE_LENGTH), "How it falls"))
        self.assertIn("faint", section(run("predict", BOB), "How it falls"))
        layers = predicted(EXAMPLES / "uniform-layers.json")["fall"]["sides"]
        self.assertEqual([side["weight"] for side in layers], [None] * 4)
        self.assertEqual([side["sharpness_word"] for side in layers], [""] * 4)
        self.assertEqual(section(run("predict", EXAMPLES / "uniform-layers.json"), "How it falls").count("none   "), 4)

    def test_short_hair_that_stands_is_told_with_its_place(self):
        plan = json.loads(SHORT.read_text())
        del plan["worn"]  # parted, its top lies
        text = json.dumps(plan)
        shown = section(run("predict", "-", text=text), "How it falls")
        place = re.search(r"stands up +(\d+) % of all, most near the (.*?): (\d+) %", shown)
        told = json.loads(run("predict", "--json", "-", text=text))["fall"]
        self.assertAlmostEqual(float(place.group(1)), 100 * told["standing"], delta=0.501)
        self.assertAlmostEqual(float(place.group(3)), 100 * told["standing_at"][place.group(2)], delta=0.501)
        self.assertEqual(told["standing_at"][place.group(2)], max(told["standing_at"].values()))

    def test_inches(self):
        shown = section(run("predict", EXAMPLES / "clipper-fade.json"), "How it falls")
        self.assertIn("How it falls (in;", shown)
        self.assertRegex(shown, r"fullest width +\d+( \d/\d)? in, ")

    def test_how_many_hairs_are_read_is_said(self):
        self.assertRegex(run("predict", BOB), r"read from hairs +4,000 of 20,000 computed, (all at rest|\d+ not at rest)")
        self.assertRegex(run("predict", "--hairs-count", 300, BOB), r"read from hairs +300 of 300 computed")
        self.assertEqual(predicted(BOB)["fall"]["strands"], 4000)

    def test_it_can_be_left_out(self):
        self.assertEqual(section(run("predict", "--no-fall", BOB), "How it falls"), "")
        self.assertIsNone(predicted(BOB, "--no-fall")["fall"])

    def test_threads_and_repeats_change_nothing(self):
        words = ["predict", "--json", "--hairs-count", 3000, ONE_LENGTH]
        self.assertEqual(run(*words, "--threads", 1), run(*words, "--threads", 3))


class Compared(unittest.TestCase):
    def test_differences_are_those_of_the_two_predictions(self):
        a, b = predicted(ONE_LENGTH)["fall"], predicted(BOB)["fall"]
        shown = section(run("compare", ONE_LENGTH, BOB), "How they fall")
        number = r"([-+][\d.]+|-)"
        for i, side in enumerate(["front", "left", "back", "right"]):
            for row, key in [("perimeter", "perimeter"), ("weight line", "weight")]:
                found = re.search(rf"(?m)^  {row}, {side}  .* {number} +{number} +{number}$", shown)
                heights = [fall["sides"][i][key] for fall in (a, b)]
                heights = [h if h is None else h - fall["levels"]["chin"] for h, fall in zip(heights, (a, b))]
                heights.append(None if None in heights else heights[1] - heights[0])
                for text, metres in zip(found.groups(), heights):
                    if metres is None:
                        self.assertEqual(text, "-")
                    else:
                        self.assertAlmostEqual(float(text), 100 * metres, delta=0.0501)
        shape = section(run("compare", ONE_LENGTH, BOB), "Shape as they lie")
        width = re.search(r"fullest width +([\d.]+) +([\d.]+) +([-+][\d.]+)", shape)
        self.assertAlmostEqual(float(width.group(3)), 100 * (b["width"]["breadth"] - a["width"]["breadth"]), delta=0.0501)

    def test_a_plan_does_not_differ_from_itself(self):
        shown = section(run("compare", "--hairs-count", 1000, BOB, BOB), "How they fall")
        self.assertEqual(set(re.findall(r"(\S+)$", shown, re.M)[2:]) - {"0.0", "-"}, set())

    def test_it_can_be_left_out(self):
        self.assertNotIn("How they fall", run("compare", "--no-fall", "--hairs-count", 500, BOB, ONE_LENGTH))


class FewForMany(unittest.TestCase):
    def test_fewer_hairs_read_much_the_same(self):
        """4,000 of 20,000: edges within a millimetre and a half on the median."""
        some = predicted(ONE_LENGTH)["fall"]
        everything, _ = with_hairs(ONE_LENGTH)
        for a, b in zip(some["sides"], everything["fall"]["sides"]):
            self.assertAlmostEqual(a["perimeter"], b["perimeter"], delta=1.5e-3)
        hairs = [sum(side["hairs"] for side in fall["sides"]) for fall in (some, everything["fall"])]
        self.assertAlmostEqual(hairs[0], hairs[1], delta=1e-3 * hairs[1])
        self.assertAlmostEqual(some["thickness"], everything["fall"]["thickness"], delta=5e-4)


if __name__ == "__main__":
    unittest.main()
