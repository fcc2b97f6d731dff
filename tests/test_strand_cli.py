"""`lengthwise strand` as someone who checks the mechanics from outside meets it.

Environment: LW_PROGRAM, the program.
"""
import csv
import io
import math
import os
import subprocess
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
FINE, INPUT, USAGE = 0, 1, 2
HAIR = ["--length-mm", 160, "--diameter-um", 70, "--modulus-gpa", 4, "--density", 1.32, "--ellipticity", 1]


def run(*words):
    return subprocess.run([PROGRAM, "strand", *map(str, words)], capture_output=True, text=True)


def strand(*words):
    """Nodes in millimetres."""
    done = run(*words)
    assert done.returncode == FINE, done.stderr
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    assert [int(row["node"]) for row in rows] == list(range(len(rows)))
    return [[1000 * float(row[axis]) for axis in "xyz"] for row in rows]


def gamma(length, diameter=70e-6, modulus=4e9, density=1320.0):
    """Weight over stiffness of a round hair, q L^3 / EI, in SI."""
    weight = density * 9.80665 * math.pi * diameter**2 / 4
    return weight * length**3 / (modulus * math.pi * diameter**4 / 64)


def level_elastica(weight, steps=4000):
    """Tip (out, down) in lengths of a rod clamped level, by shooting from its tip: f'' = weight s sin f, s from the tip, f from straight down,
    classical Runge-Kutta."""
    def shoot(tip):
        f, k, out, down, h = tip, 0.0, 0.0, 0.0, 1 / steps
        for i in range(steps):
            s = i * h
            k1, a1 = k, weight * s * math.sin(f)
            k2, a2 = k + h / 2 * a1, weight * (s + h / 2) * math.sin(f + h / 2 * k1)
            k3, a3 = k + h / 2 * a2, weight * (s + h / 2) * math.sin(f + h / 2 * k2)
            k4, a4 = k + h * a3, weight * (s + h) * math.sin(f + h * k3)
            middle, end = f + h / 2 * k2, f + h / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
            out += h / 6 * (math.sin(f) + 4 * math.sin(middle) + math.sin(end))
            down += h / 6 * (math.cos(f) + 4 * math.cos(middle) + math.cos(end))
            f, k = end, k + h / 6 * (a1 + 2 * a2 + 2 * a3 + a4)
        return f, out, down
    low, high = 0.0, math.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if shoot(middle)[0] < math.pi / 2 else (low, middle)
    return shoot(low)[1:]


class Strand(unittest.TestCase):
    def refused(self, code, said, *words):
        done = run(*words)
        self.assertEqual(done.returncode, code, done.stderr)
        self.assertEqual(done.stdout, "")
        self.assertIn(said, done.stderr)

    def test_a_level_hair_against_the_exact_elastica(self):
        # by a program apart from this one, under 9.81 m/s^2
        out, down = (160 * part for part in level_elastica(gamma(0.16) * 9.81 / 9.80665))
        self.assertAlmostEqual(out, 43.0616, delta=2e-4)
        self.assertAlmostEqual(down, 143.9432, delta=2e-4)
        x, y, _ = strand(*HAIR, "--clamp-deg", 90, "--nodes", 24)[-1]
        self.assertLess(math.hypot(x - 43.0616, y + 143.9432), 0.05)
        out, down = (160 * part for part in level_elastica(gamma(0.16)))
        nodes = strand(*HAIR, "--clamp-deg", 90, "--nodes", 24)
        self.assertEqual(len(nodes), 24)
        self.assertEqual(nodes[0], [0, 0, 0])
        x, y, z = nodes[-1]
        self.assertLess(math.hypot(x - out, y + down), 0.05)
        self.assertEqual(z, 0)
        for a, b in zip(nodes, nodes[1:]):
            self.assertAlmostEqual(math.dist(a, b), 160 / 23, delta=1e-7)

    def test_defaults_are_what_the_help_says(self):
        self.assertEqual(run().stdout, run(*HAIR, "--clamp-deg", 90, "--nodes", 24, "--twist-ratio", 0.43).stdout)
        self.assertTrue(run().stdout.startswith("node,x,y,z\n0,0,0,0\n"))

    def test_short_hair_stands_and_long_hair_goes_over_to_x(self):
        # Greenhill 1881: stands to q L^3 / EI = 7.837347; 1 % of that is a third of a percent of length
        critical = 1000 * (7.837347 / gamma(1)) ** (1 / 3)
        self.assertAlmostEqual(critical, 90.5, delta=0.1)
        self.assertEqual(strand("--clamp-deg", 0, "--length-mm", 0.99 * critical)[-1][0], 0)
        self.assertGreater(strand("--clamp-deg", 0, "--length-mm", 1.01 * critical)[-1][0], 5)
        self.assertGreater(strand("--clamp-deg", 0, "--length-mm", 400)[-1][0], 5)
        x, y, _ = strand("--clamp-deg", 180)[-1]
        self.assertAlmostEqual(x, 0, delta=1e-9)
        self.assertAlmostEqual(y, -160, delta=1e-9)

    def test_an_elliptical_hair_bends_the_easier_way_unless_it_is_turned(self):
        # at the same area the easier stiffness is the round one over the ellipticity, E pi a b^3 / 4 with a / b = e, and the stiffer times it
        flat = ["--ellipticity", 1.6, "--length-mm"]
        easy = strand(*flat, 80)[-1]
        soft = strand("--modulus-gpa", 4 / 1.6, "--length-mm", 80)[-1]
        hard = strand(*flat, 80, "--section-deg", 90)[-1]
        stiff = strand("--modulus-gpa", 4 * 1.6, "--length-mm", 80)[-1]
        for a, b in [(easy, soft), (hard, stiff)]:
            self.assertLess(math.dist(a, b), 1e-6)
        self.assertGreater(hard[0], easy[0] + 5)
        self.assertGreater(abs(strand(*flat, 80, "--section-deg", 45)[-1][2]), 1)
        # on its edge a long one gives way to the side
        self.assertGreater(abs(strand(*flat, 160, "--section-deg", 90)[-1][2]), 1)

    def test_a_tip_load_pulls_down(self):
        # Bisshopp & Drucker 1945: P L^2 / EI = 2 takes the tip .493457 L down and .839358 L out
        load = 2 * 4e9 * math.pi * 70e-6**4 / 64 / 0.16**2 * 1e6
        x, y, _ = strand("--density", 0, "--tip-load-un", load)[-1]
        self.assertAlmostEqual(x, 160 * 0.839358, delta=0.3)
        self.assertAlmostEqual(y, -160 * 0.493457, delta=0.3)

    def test_a_curl_without_weight_is_its_helix(self):
        nodes = strand("--density", 0, "--coil-diameter-mm", 10, "--coil-pitch-mm", 12, "--nodes", 256)
        # one turn is hypot(pi 10, 12) long; the axis is at an angle, so distances after whole turns tell: the pitch
        turn = math.hypot(math.pi * 10, 12)
        at = 255 * 3 * turn / 160
        i, share = int(at), at - int(at)
        end = [a + share * (b - a) for a, b in zip(nodes[i], nodes[i + 1])]
        self.assertAlmostEqual(math.dist(nodes[0], end), 36, delta=0.05)
        self.assertLess(nodes[8][1], 0)
        left = strand("--density", 0, "--coil-diameter-mm", 10, "--coil-pitch-mm", -12, "--nodes", 256)
        for a, b in zip(nodes, left):
            self.assertLess(math.dist([a[0], a[1], -a[2]], b), 1e-4)

    def test_it_lies_on_a_cylinder_or_sphere(self):
        for body in ["cylinder", "sphere"]:
            nodes = strand("--ground", body, "--radius-mm", 40, "--nodes", 48)
            depth = [math.hypot(x, y + 40, z if body == "sphere" else 0) - 40 for x, y, z in nodes]
            self.assertGreater(min(depth), -1e-3)
            self.assertLess(depth[4], 0.2)
            self.assertGreater(depth[-1], 5)
        moved = strand("--ground", "sphere", "--radius-mm", 40, "--centre-mm", "40,-40,0")
        self.assertGreater(min(math.dist(p, [40, -40, 0]) for p in moved), 40 - 1e-3)

    def test_what_cannot_be_is_refused_with_a_remedy(self):
        self.refused(USAGE, "--length-mm is from 0.1 to 10000", "--length-mm", 0)
        self.refused(USAGE, "--nodes is from 3 to 256", "--nodes", 1)
        for value in ["nan", "1e999", "", "x", "0x10", "4 ", "--"]:
            self.refused(USAGE, "--modulus-gpa takes GPA", "--modulus-gpa", value)
        self.refused(USAGE, "--modulus-gpa is from", "--modulus-gpa", "1e30")
        self.refused(USAGE, "--modulus-gpa is from", "--modulus-gpa", -4)
        self.refused(USAGE, "--clamp-deg is from 0 to 180", "--clamp-deg", 181)
        self.refused(USAGE, "needs --coil-diameter-mm", "--coil-pitch-mm", 5)
        self.refused(USAGE, "--radius-mm needs --ground", "--radius-mm", 5)
        self.refused(USAGE, "--centre-mm takes X,Y,Z", "--ground", "sphere", "--centre-mm", "1,2")
        self.refused(INPUT, "within the fibre", "--coil-diameter-mm", 0.05)
        self.refused(INPUT, "nodes or more", "--coil-diameter-mm", 1)
        self.refused(INPUT, "swallows the root", "--ground", "sphere", "--centre-mm", "0,-10,0")


if __name__ == "__main__":
    unittest.main()
