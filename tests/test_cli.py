"""The command line as a user meets it: usage, outputs, exit codes, and what happens when the disk is full.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree.
"""
import csv
import io
import json
import math
import os
import pathlib
import re
import resource
import signal
import struct
import subprocess
import sys
import tempfile
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
SOURCE = pathlib.Path(os.environ["LW_SOURCE"])
FINE, INPUT, USAGE, MACHINE = 0, 1, 2, 3
REPORT = r"\A(lengthwise: \d+ of \d+ hairs did not come to rest\n.*\n)?\Z"
COMMANDS = ["predict", "head", "compare", "export", "strand", "explain", "schema", "help", "version"]
WARNINGS = ["cuts nothing", "untouched section", "too short", "line too long", "through the head", "out of reach",
            "uneven halves", "empty section", "guide left out"]
HEADER = "hair,x,y,z,nx,ny,nz,section,step,panel,length,before,lies,held,end_x,end_y,end_z,tip_x,tip_y,tip_z"
SANITIZED = any(name in pathlib.Path(PROGRAM).read_bytes() for name in [b"__asan_init", b"__tsan_init"])


def run(*words, text=None, **more):
    return subprocess.run([PROGRAM, *map(str, words)], input=text, capture_output=True, text=True, **more)


def strict_json(text):
    def refuse(name):
        raise ValueError(f"{name} is not JSON")
    return json.loads(text, parse_constant=refuse)


def ball(**changes):
    """A sphere, whose lengths are known without a program: held straight out and following, all are the guide's."""
    plan = {
        "format": "lengthwise plan", "version": 1, "units": "cm", "title": "Ball",
        "head": {"kind": "sphere", "radius": 9}, "hair": {"length": 30},
        "sections": [{"split": "all", "parting": {"centre": 0}, "into": ['left, "side"', "right"]}],
        "steps": [{"name": "first", "section": 'left, "side"', "panels": {"run": "level", "thickness": 4},
                   "hold": {"elevation": 90}, "line": "follow", "guide": {"length": 10}}],
    }
    plan.update(changes)
    return json.dumps(plan)


class Place(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        self.path = pathlib.Path(self.folder.name)

    def file(self, name, text):
        path = self.path / name
        path.write_text(text)
        return path

    def expect(self, result, code, *said):
        self.assertEqual(result.returncode, code, result.stderr + result.stdout[:2000])
        for text in said:
            self.assertIn(text, result.stderr if code else result.stdout)
        if code:
            self.assertEqual(result.stdout, "")
        else:
            self.assertRegex(result.stderr, REPORT)
        return result.stdout


class Care(Place):
    def test_a_plan_with_clippers_says_so(self):
        examples = pathlib.Path(os.environ["LW_SOURCE"]) / "examples"
        said = self.expect(run("predict", examples / "clipper-fade.json", "--hairs-count", 500), FINE, "Take care", "Local rules")
        self.assertIn("blade and guard", said)
        said = self.expect(run("predict", examples / "fringe.json", "--hairs-count", 500), FINE, "Take care", "Local rules")
        self.assertNotIn("blade and guard", said)


class Usage(Place):
    def test_no_command_and_unknown_ones(self):
        self.expect(run(), USAGE, "which command?", "--help")
        self.expect(run("predit"), USAGE, 'no command "predit"', "nearest is predict")
        self.expect(run("qqqqqqq"), USAGE, "--help")

    def test_unknown_options_name_the_nearest(self):
        self.expect(run("predict", "--hair-count", 5, "x"), USAGE, "--hairs-count")
        self.expect(run("predict", "--jsno", "x"), USAGE, "the nearest is --json")
        self.expect(run("head", "--zzzzzzzzzzzz"), USAGE, "no option --zzzzzzzzzzzz", "head --help")
        self.expect(run("head", "-k"), USAGE, "no option -k")

    def test_bad_values(self):
        for value in ["0", "-3", "x", "1e3", "", "5000001", "99999999999999999999999", "7 "]:
            self.expect(run("predict", "--hairs-count", value, "x"), USAGE, "--hairs-count")
        self.expect(run("predict", "--seed", "1.5", "x"), USAGE, "--seed")
        self.expect(run("predict", "--threads=0", "x"), USAGE, "--threads", "1 to 256")
        for value in ["x", "", "nan", "inf", "0x20", "-56", "56 mm", "29", "81", "40in"]:
            self.expect(run("head", "--circumference", value), USAGE, "--circumference")
        for value in ["7", "7,8", "7,8,9,10", "7,,9", "7;8;9"]:
            self.expect(run("head", "--kind", "ellipsoid", "--semi-axes", value), USAGE, "--semi-axes")
        self.expect(run("head", "--kind", "womam"), USAGE, "the nearest is woman")

    def test_missing_doubled_and_surplus_words(self):
        self.expect(run("predict"), USAGE, "predict needs PLAN")
        self.expect(run("predict", "a", "b"), USAGE, '"b" is more than it takes')
        self.expect(run("predict", "a", "--hairs"), USAGE, "--hairs needs FILE")
        self.expect(run("predict", "a", "--json", "--json"), USAGE, "twice")
        self.expect(run("predict", "a", "--json=yes"), USAGE, "takes no value")
        self.expect(run("compare", "a"), USAGE, "compare needs A B")
        self.expect(run("compare", "-", "-"), USAGE, "only once")
        self.expect(run("version", *["x"] * 50), USAGE, "version")
        self.expect(run("head", "--radius", 9), USAGE, "only a sphere")
        self.expect(run("head", "--kind", "sphere"), USAGE, "needs --radius")
        self.expect(run("head", "--kind", "sphere", "--radius", 9, "--circumference", 56), USAGE, "no --circumference")

    def test_dashes(self):
        odd = self.file("--json", ball())
        self.expect(run("predict", "--hairs-count=50", "--", odd.name, cwd=self.path), FINE, "Ball")


class Tells(Place):
    def options(self, command):
        return set(re.findall(r"^  (?:-[a-z], )?(--[a-z-]+)", self.expect(run(command, "--help"), FINE), re.M))

    def test_help_manual_and_completion_agree(self):
        overview = self.expect(run("--help"), FINE)
        manual = self.expect(run("manual"), FINE).replace("\\-", "-")
        completion = self.expect(run("completion"), FINE)
        for command in COMMANDS:
            self.assertRegex(overview, rf"(?m)^  {command} ")
            self.assertEqual(run("help", command).stdout, run(command, "--help").stdout)
            self.assertIn(f'.SS "lengthwise {command}', manual)
            row = re.search(rf"(?m)^        {command}\) words='(.*?)'", completion)
            for option in self.options(command):
                if option != "--help":
                    self.assertRegex(manual, rf"(?m)^\.B (-[a-z], )?{option}\b")
                self.assertIn(option, row[1].split() if row else ["--help"])
        self.assertLessEqual(max(map(len, overview.splitlines())), 80)

    def test_completion_completes(self):
        def complete(*words):
            script = self.file("completion", run("completion").stdout)
            quoted = " ".join(f"'{word}'" for word in words)
            line = f"source {script}; COMP_WORDS=({quoted}); COMP_CWORD={len(words) - 1}; _lengthwise; printf '%s\\n' \"${{COMPREPLY[@]}}\""
            return subprocess.run(["bash", "-c", line], capture_output=True, text=True, cwd=self.path, check=True).stdout.split()
        self.file("bob.json", "")
        self.assertEqual(complete("lengthwise", "pre"), ["predict"])
        self.assertEqual(complete("lengthwise", "head", "--kind", "wo"), ["woman"])
        self.assertEqual(complete("lengthwise", "predict", "--hairs-"), ["--hairs-count"])
        self.assertEqual(complete("lengthwise", "predict", "bo"), ["bob.json"])

    def test_version(self):
        self.assertEqual(run("--version").stdout, run("version").stdout)
        self.assertRegex(run("version").stdout, r"^lengthwise \d+\.\d+\.\d+\n$")

    def test_schema(self):
        schema = strict_json(self.expect(run("schema"), FINE))
        self.assertIn("2020-12", schema["$schema"])
        self.assertIn("steps", schema["properties"])

    def test_explains_words_warnings_and_fields(self):
        for warning in WARNINGS:
            self.expect(run("explain", *warning.split()), FINE, "(warning)", "For example:")
        for place in strict_json(run("head", "--json").stdout)["landmarks"]:
            self.expect(run("explain", place["name"]), FINE, "(word)", "For example:")
        for word in ["Over-Direction", "over_direction", "one length", "graduated", "uniform layers", "increasing layers", "round",
                     "square", "triangular", "mixed", "guide", "weight line", "cross check", "natural fall"]:
            self.expect(run("explain", word), FINE, "(word)", "For example:")
        self.expect(run("explain", "steps.hold.elevation"), FINE, "In a plan file", '"elevation"')
        both = self.expect(run("explain", "elevation"), FINE, "(word)", "In a plan file")
        self.assertLessEqual(max(map(len, both.splitlines())), 130)

    def test_unknown_words_name_the_nearest(self):
        self.expect(run("explain", "elevatoin"), INPUT, 'nearest is "elevation"')
        self.expect(run("explain", "cuts", "nothin"), INPUT, 'nearest is "cuts nothing"')
        self.expect(run("explain", "xyzzyxyzzy"), INPUT, "not known", "explain")
        self.expect(run("explain", "x" * 5000), INPUT)
        listed = self.expect(run("explain"), FINE)
        for warning in WARNINGS:
            self.assertIn(warning, listed)


class Predict(Place):
    def machine(self, plan, *words):
        return strict_json(self.expect(run("predict", "--json", "--hairs-count", 200, *words, "-", text=plan), FINE))

    def test_a_ball_cut_to_one_length(self):
        told = self.machine(ball())
        lengths = {place["name"]: place["length"] for place in told["landmarks"]}
        self.assertAlmostEqual(lengths["ear top left"], 0.1, delta=1e-4)
        self.assertAlmostEqual(lengths["ear top right"], 0.3, delta=1e-12)
        self.assertEqual([step for step in told["steps"]], ["first"])
        left = next(s for s in told["sections"] if s["name"] == 'left, "side"')
        self.assertTrue(left["leaf"] and left["touched"])
        self.assertAlmostEqual(left["mean"], 0.1, delta=1e-4)
        self.assertIsNone(left["balance"])
        self.assertEqual(left["hairs_right"], 0)
        self.assertEqual(told["readings"]["panels"], len(told["panels"]))
        self.assertAlmostEqual(told["readings"]["balance"]["mean"], 0.2, delta=1e-3)
        warning, = told["warnings"]
        self.assertEqual((warning["code"], warning["section"]), ("untouched section", "right"))
        self.assertTrue(warning["message"] and warning["remedy"])

    def test_what_machines_are_given(self):
        told = self.machine(ball())
        for key in ["format", "version", "title", "units", "head", "landmarks", "sections", "steps", "panels", "readings", "warnings"]:
            self.assertIn(key, told)
        self.assertEqual(told["format"], "lengthwise prediction")
        self.assertEqual(told["units"]["length"], "metre")
        self.assertEqual(told["head"]["kind"], "sphere")
        for panel in told["panels"]:
            for key in ["anchor", "normal", "place", "direction", "parting", "finger"]:
                self.assertEqual(len(panel[key]), 3)
            for key in ["normal", "direction", "parting", "finger"]:
                self.assertAlmostEqual(math.hypot(*panel[key]), 1, delta=1e-9)
            self.assertAlmostEqual(math.hypot(*panel["anchor"]), 0.09, delta=1e-9)
            self.assertIs(panel["follows"], True)
            self.assertAlmostEqual(panel["elevation"], math.pi / 2)
            self.assertTrue(panel["line"] and all(len(point) == 2 for point in panel["line"]))
            self.assertEqual(panel["step"], 1)
            self.assertLessEqual(panel["cut"], panel["hairs"])
        for key in ["all", "bands", "strips", "balance", "cross_check", "removed", "panels", "cuts", "minutes"]:
            self.assertIn(key, told["readings"])

    def test_every_hair_as_csv(self):
        target = self.path / "hairs.csv"
        told = self.machine(ball(), "--hairs", target)
        text = target.read_text()
        self.assertEqual(text.splitlines()[0], HEADER)
        rows = list(csv.DictReader(io.StringIO(text)))
        self.assertEqual([int(row["hair"]) for row in rows], list(range(200)))
        panels = {(panel["step"], panel["panel"]) for panel in told["panels"]}
        for a, b in zip(rows[::2], rows[1::2]):
            self.assertEqual([float(a["x"]), a["y"], a["z"]], [-float(b["x"]), b["y"], b["z"]])
        for row in rows:
            at = [float(row[key]) for key in "xyz"]
            self.assertAlmostEqual(math.hypot(*at), 0.09, delta=1e-9)
            self.assertAlmostEqual(sum(float(row["n" + key]) * p for key, p in zip("xyz", at)), 0.09, delta=1e-9)
            if at[0] > 0:
                self.assertEqual(row["section"], 'left, "side"')
                self.assertIn((int(row["step"]), int(row["panel"])), panels)
                self.assertAlmostEqual(float(row["length"]), 0.1, delta=1e-4)
                self.assertEqual(row["held"], row["length"])
                for key, p in zip("xyz", at): # straight out
                    self.assertAlmostEqual(float(row["end_" + key]), p * 0.19 / 0.09, delta=1e-4)
            else:
                self.assertEqual([row["section"], row["step"], row["panel"], float(row["length"])], ["right", "", "", 0.3])
                self.assertEqual([row[key] for key in ["held", "end_x", "end_y", "end_z"]], [""] * 4)
            self.assertEqual([float(row["before"]), row["lies"]], [0.3, row["length"]])
            for key in ["x", "length"]: # as many digits as name the double
                self.assertEqual(repr(float(row[key])), repr(float(f"{float(row[key]):.17g}")))

    def test_tables_agree_with_the_machine(self):
        plan = ball()
        told = self.machine(plan)
        shown = self.expect(run("predict", "--hairs-count", 200, "-", text=plan), FINE)
        for heading in ["Ball", "Lengths at landmarks (cm)", "Sections (cm", "Plan shape by level band", "Profile by upright band",
                        "Balance of left and right", "Cross-check", "hair removed", "panels", "cuts", "minutes", "1 warning"]:
            self.assertIn(heading, shown)
        row = re.search(r"(?m)^  ear top +(\S+) +(\S+)$", shown)
        lengths = {place["name"]: place["length"] for place in told["landmarks"]}
        self.assertEqual(row.groups(), tuple(f"{100 * lengths['ear top ' + side]:.1f}" for side in ["left", "right"]))
        self.assertRegex(shown, r'(?s)1  untouched section, section "right".*remedy: ')
        removed = re.search(r"([\d,]+) hairs, ([\d.]+) g", shown)
        self.assertAlmostEqual(float(removed[1].replace(",", "")), told["readings"]["removed"]["hairs"], delta=0.5)
        self.assertAlmostEqual(float(removed[2]), 1000 * told["readings"]["removed"]["mass"], delta=0.05)
        self.assertRegex(shown, r"(?m)^  left side, ear to parietal ridge +uniform layers +10\.0 +10\.0 +0\.00$")
        self.assertNotRegex(shown, r"(?m) $")

    def test_inches_to_the_eighth(self):
        plan = json.loads(ball(units="in", head={"kind": "sphere", "radius": "3 1/2"}, hair={"length": 12}))
        plan["steps"][0]["guide"] = {"length": "3 5/8"}
        shown = self.expect(run("predict", "--hairs-count", 200, "-", text=json.dumps(plan)), FINE)
        self.assertIn("Lengths at landmarks (in)", shown)
        self.assertRegex(shown, r"(?m)^  ear top +3 5/8 +12$")
        self.assertIn("sq in", shown)

    def test_the_same_seed_gives_the_same_bytes_on_any_number_of_threads(self):
        plan = ball(hands={"error": {"elevation": 4, "length": 0.3}, "seed": 3})
        seen = {}
        for threads, seed in [(1, 7), (2, 7), (5, 7), (1, 8)]:
            target = self.path / f"{threads}-{seed}.csv"
            shown = self.expect(run("predict", "--json", "--hairs-count", 2000, "--threads", threads, "--seed", seed, "--hairs", target,
                                    "-", text=plan), FINE)
            seen[threads, seed] = shown, target.read_bytes()
        self.assertEqual(seen[1, 7], seen[2, 7])
        self.assertEqual(seen[1, 7], seen[5, 7])
        self.assertNotEqual(seen[1, 7][1], seen[1, 8][1])

    def test_standard_input_is_a_file_too(self):
        plan = self.file("ball.json", ball())
        self.assertEqual(run("predict", "--hairs-count", 100, plan).stdout,
                         run("predict", "--hairs-count", 100, "-", text=plan.read_text()).stdout)

    def test_plans_that_are_none(self):
        self.expect(run("predict", self.path / "none.json"), INPUT, "none.json", "No such file")
        self.expect(run("predict", self.path), INPUT, "directory")
        half = self.file("half.json", '{\n  "format": "lengthwise plan",\n  "version": ')
        self.assertRegex(self.expect_error(half), rf"^{half}:3:\d+: ")
        typo = self.file("typo.json", ball().replace('"units"', '"unit"'))
        self.assertRegex(self.expect_error(typo), rf"^{typo}:1:\d+: .*\n  \S")
        self.assertIn('"units"', self.expect_error(typo))
        self.assertRegex(run("predict", "-", text="[]").stderr, r"^standard input:1:1: ")
        self.expect(run("predict", "-", text=""), INPUT)
        lost = self.file("lost.json", ball(steps=[{"section": "nowhere", "guide": {"length": 5}}]))
        self.assertIn("nowhere", self.expect_error(lost))
        odd = self.file("odd.json", ball(head={"kind": "woman", "circumference": 75, "head_length": 17}))
        self.assertRegex(self.expect_error(odd), rf"^{odd}.*circumference.*\n  \S")

    def expect_error(self, path):
        result = run("predict", path)
        self.expect(result, INPUT)
        return result.stderr


class Head(Place):
    def test_given_measures_come_back(self):
        told = strict_json(self.expect(run("head", "--json", "--kind", "woman", "--circumference", 55, "--nape-width=4.5in"), FINE))
        measures = {measure["name"]: measure for measure in told["measures"]}
        self.assertAlmostEqual(measures["circumference"]["length"], 0.55, delta=1e-3)
        self.assertAlmostEqual(measures["nape_width"]["length"], 4.5 * 0.0254, delta=1e-3)
        self.assertEqual({name for name, m in measures.items() if m["given"]}, {"circumference", "nape_width"})
        self.assertEqual(len(told["landmarks"]), 20)
        shown = self.expect(run("head", "--kind", "woman", "--circumference", 55), FINE)
        self.assertRegex(shown, r"(?m)^  circumference +55\.0  given$")
        self.assertRegex(shown, r"(?m)^  nape centre +0\.0 ")
        self.assertRegex(shown, r"Scalp  \d+ sq cm, \d+,\d+ hairs")

    def test_a_sphere_is_a_sphere(self):
        told = strict_json(self.expect(run("head", "--json", "--kind", "sphere", "--radius", 9), FINE))
        for place in told["landmarks"]:
            self.assertAlmostEqual(math.dist(place["position"], told["centre"]), 0.09, delta=1e-12)

    def test_a_plan_brings_its_head(self):
        plan = self.file("plan.json", ball(head={"kind": "man", "circumference": 58}))
        told = strict_json(self.expect(run("head", "--json", "--plan", plan), FINE))
        self.assertEqual(told["kind"], "man")
        changed = strict_json(self.expect(run("head", "--json", "--plan", plan, "--circumference", 56), FINE))
        self.assertAlmostEqual(changed["measures"][0]["length"], 0.56, delta=1e-3)

    def test_measures_that_contradict_each_other(self):
        result = run("head", "--kind", "woman", "--circumference", 65, "--head-length", 18)
        self.expect(result, INPUT, "circumference", "head_length")
        self.assertRegex(result.stderr, r"\n  \S")

    def test_the_mesh_is_closed_and_faces_outward(self):
        target = self.path / "ball.obj"
        self.expect(run("head", "--kind", "sphere", "--radius", 9, "--mesh", target), FINE)
        points, faces = [], []
        for line in target.read_text().splitlines():
            kind, *rest = line.split()
            if kind == "v":
                points.append([float(value) for value in rest])
            if kind == "f":
                faces.append([int(corner.split("/")[0]) - 1 for corner in rest])
        edges = [(face[k], face[(k + 1) % 3]) for face in faces for k in range(3)]
        self.assertEqual(len(edges), len(set(edges)))
        self.assertEqual(set(edges), {(b, a) for a, b in edges})
        self.assertEqual(len(points) - len(edges) // 2 + len(faces), 2)
        volume = 0
        for a, b, c in ([points[i] for i in face] for face in faces):
            volume += (a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0]) + a[2] * (b[0] * c[1] - b[1] * c[0])) / 6
        self.assertAlmostEqual(volume / (4 / 3 * math.pi * 0.09**3), 1, delta=2e-3)


    def test_the_bust_as_a_picture(self):
        target = self.path / "bust.png"
        ball = ["head", "--kind", "sphere", "--radius", 9, "--detail", "coarse"]
        self.expect(run(*ball, "--png", target, "--height", 100), FINE)
        picture = target.read_bytes()
        self.assertEqual(picture[:8], b"\x89PNG\r\n\x1a\n")
        self.assertEqual(struct.unpack(">II", picture[16:24]), (100, 100))
        self.expect(run(*ball, "--png", target, "--height", 100, "--side", "above", "--transparent"), FINE)
        self.assertNotEqual(target.read_bytes(), picture)
        self.expect(run(*ball, "--png", target, "--side", "lef"), USAGE, "the nearest is left")
        self.expect(run("head", "--side", "left"), USAGE, "--side", "--png")
        self.expect(run("head", "--detail", "fine"), USAGE, "--detail", "--mesh")
        self.expect(run(*ball, "--png", "/dev/full"), MACHINE, "/dev/full")

    def test_detail_makes_smaller_triangles(self):
        count = {}
        for detail in "coarse", "normal", "fine":
            target = self.path / f"{detail}.obj"
            self.expect(run("head", "--kind", "sphere", "--radius", 9, "--mesh", target, "--detail", detail), FINE)
            count[detail] = target.read_text().count("\nf ")
        # 6, 3 and 1.5 mm: triangles go with the square
        self.assertAlmostEqual(count["normal"] / count["coarse"], 4, delta=0.4)
        self.assertAlmostEqual(count["fine"] / count["normal"], 4, delta=0.4)


class Compare(Place):
    def plan(self, name, length, **changes):
        plan = json.loads(ball(title=name, **changes))
        plan["steps"][0]["guide"]["length"] = length
        return self.file(name, json.dumps(plan))

    def test_a_plan_with_itself(self):
        a = self.plan("a", 10)
        shown = self.expect(run("compare", "--hairs-count", 200, a, a), FINE, "same lengths everywhere", "  0 % of the hairs differ")
        self.assertNotIn("Where they differ most", shown)

    def test_where_two_differ(self):
        a, b = self.plan("a", 10), self.plan("b", 12.5)
        shown = self.expect(run("compare", "--hairs-count", 400, a, b), FINE, "50 % of the hairs differ by more than 0.5 cm",
                            "B is longer by up to 2.5 cm", "Where they differ most")
        self.assertRegex(shown, r"(?m)^  ear top left +10\.0 +12\.5 +\+2\.5$")
        self.assertRegex(shown, r"(?m)^  ear top right +30\.0 +30\.0 +0\.0$")
        self.assertRegex(shown, r'(?m)^  left, "side" +10\.0 +12\.5 +\+2\.5$')
        self.assertNotIn("B is shorter", shown)
        back = self.expect(run("compare", "--hairs-count", 400, b, a), FINE, "B is shorter by up to 2.5 cm")
        self.assertRegex(back, r"(?m)^  ear top left +12\.5 +10\.0 +-2\.5$")

    def test_two_heads_are_compared_at_landmarks(self):
        a, b = self.plan("a", 10), self.plan("b", 12, head={"kind": "sphere", "radius": 10})
        shown = self.expect(run("compare", "--hairs-count", 200, a, b), FINE, "The heads differ")
        self.assertNotIn("Hair by hair", shown)
        self.assertRegex(shown, r"(?m)^  ear top left +10\.0 +12\.0 +\+2\.0$")

    def test_a_fault_in_either_is_told_with_its_name(self):
        a, b = self.plan("a", 10), self.file("b", "{")
        self.assertRegex(run("compare", a, b).stderr, rf"^{b}:1:\d+: ")
        self.expect(run("compare", a, b), INPUT)
        self.expect(run("compare", b, a), INPUT)


class Trouble(Place):
    def test_a_full_disk_is_told(self):
        plan = self.file("plan.json", ball())
        with open("/dev/full", "w") as full:
            for words in [["predict", "--hairs-count", "50", plan], ["predict", "--json", plan], ["schema"], ["head"], ["--help"]]:
                result = subprocess.run([PROGRAM, *words], stdout=full, stderr=subprocess.PIPE, text=True)
                self.assertEqual(result.returncode, MACHINE)
                self.assertIn("No space left", result.stderr)
        self.expect(run("predict", "--hairs", "/dev/full", plan), MACHINE, "/dev/full", "No space left")

    def test_a_closed_pipe_is_told(self):
        plan = self.file("plan.json", ball())
        read, write = os.pipe()
        os.close(read)
        result = subprocess.run([PROGRAM, "predict", "--json", plan], stdout=write, stderr=subprocess.PIPE, text=True)
        os.close(write)
        self.assertEqual(result.returncode, MACHINE)
        self.assertIn("Broken pipe", result.stderr)

    def test_a_file_is_whole_or_as_it_was(self):
        plan, target = self.file("plan.json", ball()), self.file("hairs.csv", "what was there\n")

        def small_disk():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))
        self.expect(run("predict", "--hairs", target, plan, preexec_fn=small_disk), MACHINE, "hairs.csv", "too large")
        self.assertEqual(target.read_text(), "what was there\n")
        self.assertEqual(sorted(path.name for path in self.path.iterdir()), ["hairs.csv", "plan.json"])
        self.expect(run("predict", "--hairs", target, "--hairs-count", 100, plan), FINE)
        self.assertEqual(len(target.read_text().splitlines()), 101)
        self.assertEqual(sorted(path.name for path in self.path.iterdir()), ["hairs.csv", "plan.json"])
        self.expect(run("predict", "--hairs", self.path / "no" / "hairs.csv", plan), MACHINE, "No such file")
        self.expect(run("predict", "--hairs", "-", plan), USAGE, "called -")

    def test_a_link_stays_a_link_and_rights_are_ordinary(self):
        plan, target, link = self.file("plan.json", ball()), self.path / "real.csv", self.path / "link.csv"
        target.write_text("")
        link.symlink_to(target)
        self.expect(run("predict", "--hairs", link, "--hairs-count", 100, plan), FINE)
        self.assertTrue(link.is_symlink())
        self.assertEqual(len(target.read_text().splitlines()), 101)
        fresh = self.path / "fresh.csv"
        self.expect(run("predict", "--hairs", fresh, "--hairs-count", 100, plan, preexec_fn=lambda: os.umask(0o027)), FINE)
        self.assertEqual(fresh.stat().st_mode & 0o777, 0o640)

    def test_too_little_memory_is_told(self):
        if SANITIZED: # its shadow needs more than any limit that would be felt here
            return

        def little_memory():
            resource.setrlimit(resource.RLIMIT_AS, (150 << 20, 150 << 20))
        self.expect(run("predict", "--hairs-count", 5000000, "--threads", 1, "-", text=ball(), preexec_fn=little_memory), MACHINE, "memory")

    def test_a_file_that_is_far_too_large(self):
        huge = self.path / "huge.json"
        with open(huge, "wb") as file:
            file.truncate(200 << 20)
        self.expect(run("predict", huge), INPUT, "huge.json")


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
