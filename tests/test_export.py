"""What other programs are given: models read back byte by byte, tables row by row, and what happens when the disk is full.

The reader of models here is written from the glTF 2.0 specification (Khronos Group 2021) and shares no code with lengthwise;
tests/gltf puts the same models under the Khronos validator.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree; LW_EXAMPLES, names of the examples where not all are tried.
"""
import base64
import collections
import csv
import io
import json
import math
import os
import pathlib
import resource
import signal
import struct
import subprocess
import sys
import tempfile
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
FEW = os.environ.get("LW_EXAMPLES", "").split(",")
EXAMPLES = sorted(path for path in pathlib.Path(os.environ["LW_SOURCE"], "examples").glob("*.json") if FEW == [""] or path.stem in FEW)
BOB = next(path for path in EXAMPLES if path.name == "graduated-bob.json")
FINE, INPUT, USAGE, MACHINE = 0, 1, 2, 3
REPORT = r"\A(lengthwise: \d+ of \d+ hairs did not come to rest\n.*\n)?\Z"


def run(*words, **more):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, **more)


class Model:
    """The parts of a glTF file that the export writes."""

    def __init__(self, data):
        if data[:4] == b"glTF":
            magic, version, size, length, kind = struct.unpack_from("<4sIIII", data)
            assert (version, size, kind) == (2, len(data), 0x4E4F534A) and length % 4 == 0
            self.json = json.loads(data[20:20 + length])
            size, kind = struct.unpack_from("<II", data, 20 + length)
            assert kind == 0x004E4942 and 28 + length + size == len(data)
            self.buffer = data[28 + length:]
        else:
            self.json = json.loads(data)
            head, body = self.json["buffers"][0]["uri"].split(",", 1)
            assert head == "data:application/octet-stream;base64"
            self.buffer = base64.b64decode(body, validate=True)
        assert len(self.buffer) == self.json["buffers"][0]["byteLength"]
        self.meshes = {mesh["name"]: mesh["primitives"][0] for mesh in self.json["meshes"]}

    def read(self, accessor):
        a = self.json["accessors"][accessor]
        view = self.json["bufferViews"][a["bufferView"]]
        width = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}[a["type"]]
        kind = {5126: "f", 5125: "I", 5121: "B"}[a["componentType"]]
        flat = struct.unpack_from(f"<{a['count'] * width}{kind}", self.buffer, view["byteOffset"])
        return list(flat) if width == 1 else [flat[i:i + width] for i in range(0, len(flat), width)]

    def attribute(self, mesh, name):
        return self.read(self.meshes[mesh]["attributes"][name])

    def hairs(self):
        """Every hair's points: runs of segments that go on where the last one ended."""
        points = self.attribute("hair", "POSITION")
        flat, hairs = self.read(self.meshes["hair"]["indices"]), []
        for a, b in zip(flat[::2], flat[1::2]):
            if not hairs or hairs[-1][-1] != a:
                hairs.append([a])
            hairs[-1].append(b)
        return [[points[i] for i in hair] for hair in hairs]


def length_of(points):
    return sum(math.dist(a, b) for a, b in zip(points, points[1:]))


READ = {}  # what was exported: tests ask for the same models and tables, and none changes them


class Place(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.path = pathlib.Path(folder.name)

    def export(self, name, plan, *words):
        result = run("export", plan, "-o", self.path / name, "--hairs-count", 400, *words)
        self.assertEqual((result.returncode, result.stdout), (FINE, ""))
        self.assertRegex(result.stderr, REPORT)
        return self.path / name

    def model(self, plan, *words, name="model.glb"):
        asked = (plan, *words, name)
        if asked not in READ:
            READ[asked] = Model(self.export(name, plan, "--detail", "coarse", *words).read_bytes())
        return READ[asked]

    def table(self, plan):
        if plan not in READ:
            READ[plan] = self.export("hairs.csv", plan).read_bytes()
        return list(csv.DictReader(io.StringIO(READ[plan].decode(), newline=""), strict=True))

    def bounds_hold(self, model):
        for primitive in model.meshes.values():
            accessor = model.json["accessors"][primitive["attributes"]["POSITION"]]
            columns = list(zip(*model.read(primitive["attributes"]["POSITION"])))
            self.assertEqual([min(c) for c in columns], [struct.unpack("f", struct.pack("f", v))[0] for v in accessor["min"]])
            self.assertEqual([max(c) for c in columns], [struct.unpack("f", struct.pack("f", v))[0] for v in accessor["max"]])


class Bust(Place):
    def test_it_is_closed_and_faces_outward(self):
        model = self.model(BOB, "--hair", "none")
        self.assertEqual(list(model.meshes), ["bust"])
        points, normals = model.attribute("bust", "POSITION"), model.attribute("bust", "NORMAL")
        flat = model.read(model.meshes["bust"]["indices"])
        self.assertEqual(set(flat), set(range(len(points))))
        edges, volume = collections.Counter(), 0
        for a, b, c in zip(flat[::3], flat[1::3], flat[2::3]):
            edges.update([(a, b), (b, c), (c, a)])
            p, q, r = points[a], points[b], points[c]
            volume += (p[0] * (q[1] * r[2] - q[2] * r[1]) + p[1] * (q[2] * r[0] - q[0] * r[2]) + p[2] * (q[0] * r[1] - q[1] * r[0])) / 6
        self.assertEqual(set(edges.values()), {1})
        self.assertEqual(set(edges), {(b, a) for a, b in edges})
        self.assertGreater(volume, 0.004) # an ellipsoid of a woman's mean diameters (19 by 14.8 cm, ANSUR II 2012) and 25 cm high holds 3.7 l
        for normal in normals:
            self.assertAlmostEqual(math.hypot(*normal), 1, delta=1e-5)
        self.bounds_hold(model)

    def test_detail_is_the_length_of_its_edges(self):
        counts = []
        for detail in ["coarse", "normal"]:
            model = Model(self.export("bust.glb", BOB, "--hair", "none", "--detail", detail).read_bytes())
            counts.append(len(model.attribute("bust", "POSITION")))
        self.assertAlmostEqual(counts[1] / counts[0], 4, delta=0.8) # half the edge, four times as many


class Hair(Place):
    def test_every_hair_is_as_long_as_the_table_says(self):
        for plan in EXAMPLES:
            rows = self.table(plan)
            for how in ["fallen", "held"]:
                with self.subTest(plan=plan.name, hair=how):
                    model = self.model(plan, "--hair", how)
                    hairs = model.hairs()
                    self.assertEqual(len(hairs), len(rows))
                    moved = 0
                    for row, points in zip(rows, hairs):
                        held = how == "held" and row["held"]
                        off = math.dist(points[0], [float(row[k]) for k in "xyz"])
                        self.assertLess(off, 1e-6 if held else .012)  # beside an ear the root goes round it
                        moved += off > 1e-6
                        length = float(row["held" if held else "lies"])
                        self.assertAlmostEqual(length_of(points), length, delta=5e-4 if held else 1e-5 + 3e-3 * length)
                        if not held:
                            self.assertLess(math.dist(points[-1], [float(row["tip_" + k]) for k in "xyz"]), 1e-6)
                    self.assertLess(moved, 20)
                    self.bounds_hold(model)
                    self.assertEqual(model.meshes["hair"]["mode"], 1)

    def test_held_hair_ends_where_it_was_held(self):
        rows, hairs = self.table(BOB), self.model(BOB, "--hair", "held").hairs()
        cut = 0
        for row, points in zip(rows, hairs):
            if row["held"]:
                cut += 1
                self.assertLess(math.dist(points[-1], [float(row["end_" + k]) for k in "xyz"]), 3e-4)
        self.assertGreater(cut, 200)

    def test_fallen_hair_is_down(self):
        for row, points in zip(self.table(BOB), self.model(BOB).hairs()):
            if float(row["length"]) > 0.1:
                self.assertLess(points[-1][1], float(row["y"]))

    def test_colours_are_opaque_and_differ(self):
        colours = self.model(BOB).attribute("hair", "COLOR_0")
        self.assertEqual({colour[3] for colour in colours}, {255})
        self.assertGreater(len(set(colours)), 20)

    def test_a_map_has_one_colour_a_hair_by_its_length(self):
        model, rows = self.model(BOB, "--colour", "length"), self.table(BOB)
        lengths = [float(row["length"]) for row in rows]
        extras = model.json["asset"]["extras"]
        self.assertEqual([extras["shortest"], extras["longest"]], [min(lengths), max(lengths)])
        colours, at, light = model.attribute("hair", "COLOR_0"), 0, []
        for hair in model.hairs():
            self.assertEqual(len(set(colours[at:at + len(hair)])), 1)
            light.append(sum(colours[at][:2])) # cividis goes from blue to yellow: red and green rise (Nunez et al. 2018)
            at += len(hair)
        order = sorted(range(len(rows)), key=lengths.__getitem__)
        self.assertTrue(all(light[a] <= light[b] for a, b in zip(order, order[1:])))
        self.assertGreater(len(set(light)), 20)

    def test_both_forms_hold_the_same(self):
        one, other = self.model(BOB), self.model(BOB, name="model.gltf")
        self.assertEqual(one.buffer[:len(other.buffer)], other.buffer)
        for key in ["asset", "meshes", "accessors", "materials", "nodes"]:
            self.assertEqual(one.json[key], other.json[key])

    def test_the_same_bytes_on_any_number_of_threads(self):
        coarse = ["--detail", "coarse", "--threads"]
        one = self.export("one.glb", BOB, *coarse, 1).read_bytes()
        self.assertEqual(one, self.export("three.glb", BOB, *coarse, 3).read_bytes())

    def test_names_come_back(self):
        plan = json.loads(BOB.read_text())
        plan["title"], plan["person"] = 'A "bob" \\ قص 短发', "Noé"
        path = self.path / "odd.json"
        path.write_text(json.dumps(plan))
        asset = self.model(path).json["asset"]
        self.assertEqual(asset["extras"], {"title": plan["title"], "person": plan["person"], "hair": "fallen"})
        self.assertRegex(asset["generator"], r"^lengthwise \d+\.\d+\.\d+$")
        self.assertEqual(asset["version"], "2.0")


class Table(Place):
    def test_it_is_what_predict_says(self):
        for plan in EXAMPLES:
            with self.subTest(plan=plan.name):
                rows = self.table(plan)
                self.assertEqual([int(row["hair"]) for row in rows], list(range(400)))
                same = self.path / "predicted.csv"
                result = run("predict", plan, "--json", "--hairs", same, "--hairs-count", 400)
                self.assertEqual(result.returncode, FINE, result.stderr)
                self.assertEqual(same.read_bytes(), READ[plan])
                told = json.loads(result.stdout)
                panels = {(panel["step"], panel["panel"]): panel for panel in told["panels"]}
                sections = {section["name"] for section in told["sections"] if section["leaf"]}
                for row in rows:
                    self.assertIn(row["section"], sections)
                    self.assertLessEqual(float(row["length"]), float(row["before"]))
                    self.assertLessEqual(float(row["lies"]), float(row["length"]))
                    self.assertEqual(row["panel"] == "", float(row["length"]) == float(row["before"]))
                    if row["panel"]:
                        factor = panels[int(row["step"]), int(row["panel"])]["factor"]
                        self.assertAlmostEqual(float(row["held"]) * factor, float(row["length"]), delta=1e-12)


class Trouble(Place):
    def refuse(self, code, *words, said="", **more):
        result = run("export", *words, **more)
        self.assertEqual(result.returncode, code, result.stderr)
        self.assertEqual(result.stdout, "")
        self.assertIn(said, result.stderr)

    def test_words_that_make_no_sense(self):
        self.refuse(USAGE, BOB, said="needs --output")
        self.refuse(USAGE, BOB, "-o", self.path / "bob.obj", said="--format")
        self.refuse(USAGE, BOB, "-o", self.path / "bob", said="--format")
        self.refuse(USAGE, BOB, "-o", self.path / "a.csv", "--hair", "held", said="csv has no --hair")
        self.refuse(USAGE, BOB, "-o", self.path / "a.csv", "--format", "obj", said="--format")
        self.refuse(USAGE, BOB, "-o", said="--output needs FILE")
        self.refuse(USAGE, BOB, "-o", "-", "--format", "csv", said="called -")
        self.refuse(USAGE, BOB, "-x", said="no option -x")
        self.refuse(USAGE, said="export needs PLAN")
        self.refuse(INPUT, self.path / "none.json", "-o", self.path / "a.glb", said="none.json")
        self.assertEqual(list(self.path.iterdir()), [])

    def test_the_format_can_be_said(self):
        self.assertEqual(self.export("model", BOB, "--format", "glb", "--detail", "coarse").read_bytes()[:4], b"glTF")
        self.assertTrue(self.export("table.txt", BOB, "--format", "csv").read_text().startswith("hair,"))

    def test_what_cannot_be_written_leaves_nothing(self):
        for ending in ["glb", "gltf", "csv"]:
            few = ["--hairs-count", 400] + ([] if ending == "csv" else ["--detail", "coarse"])
            with self.subTest(ending=ending):
                self.refuse(MACHINE, BOB, "-o", "/dev/full", "--format", ending, *few, said="No space left")
                self.refuse(MACHINE, BOB, "-o", self.path / "no" / f"a.{ending}", *few, said="No such file")
                folder = self.path / f"folder.{ending}"
                folder.mkdir()
                self.refuse(MACHINE, BOB, "-o", folder, *few, said="folder")
                self.assertEqual(list(folder.iterdir()), [])
                folder.rmdir()

                def small_disk():
                    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
                    resource.setrlimit(resource.RLIMIT_FSIZE, (20000, 20000))
                target = self.path / f"there.{ending}"
                target.write_text("what was there\n")
                self.refuse(MACHINE, BOB, "-o", target, *few, said="too large", preexec_fn=small_disk)
                self.assertEqual(target.read_text(), "what was there\n")
                self.assertEqual(list(self.path.iterdir()), [target])
                target.unlink()

    def test_a_closed_pipe_is_told(self):
        for ending in [["glb", "--detail", "coarse"], ["csv"]]:
            read, write = os.pipe()
            os.close(read)
            result = subprocess.run([PROGRAM, "export", BOB, "-o", "/dev/stdout", "--hairs-count", "400", "--format", *ending],
                                    stdout=write, stderr=subprocess.PIPE, text=True)
            os.close(write)
            self.assertEqual(result.returncode, MACHINE)
            self.assertIn("Broken pipe", result.stderr)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
