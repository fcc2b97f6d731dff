#!/usr/bin/env python3
"""An independent program that recomputes every hair from what `predict` prints, by docs/model.md alone.

It shares no code with lengthwise: on a sphere the taut path is the closed form R(gamma - acos(R/D)) + sqrt(D^2 - R^2)
(elementary geometry). On a measured head it checks that no hair is shorter than the straight way to its end, and that
hair held clear of the head is exactly that.

usage: test_recompute.py LENGTHWISE
"""
import csv, json, math, os, subprocess, sys, tempfile

PROGRAM = sys.argv[1]
R = 0.09


def dot(a, b): return sum(x * y for x, y in zip(a, b))
def add(a, b, k=1): return [x + k * y for x, y in zip(a, b)]
def norm(a): return math.sqrt(dot(a, a))


def taut(root, end):
    d = norm(end)
    gamma = math.acos(max(-1, min(1, dot(root, end) / (norm(root) * d))))
    if d < R: return None
    if math.cos(gamma) >= R / d: return norm(add(end, root, -1))
    return R * (gamma - math.acos(R / d)) + math.sqrt(d * d - R * R)


def line_at(line, s, follows):
    if follows and s <= line[0][0]: return line[0][1]
    if follows and s >= line[-1][0]: return line[-1][1]
    for (s0, t0), (s1, t1) in zip(line, line[1:]):
        if s <= s1: break
    return t0 + (s - s0) / (s1 - s0) * (t1 - t0)


def predict(plan):
    with tempfile.TemporaryDirectory() as where:
        path, hairs = os.path.join(where, "plan.json"), os.path.join(where, "hairs.csv")
        with open(path, "w") as f: json.dump(plan, f)
        run = subprocess.run([PROGRAM, "predict", path, "--json", "--hairs", hairs, "--hairs-count", "3000"],
                             capture_output=True, text=True)
        if run.returncode: sys.exit(f"predict failed: {run.stderr}\n{json.dumps(plan)}")
        with open(hairs, newline="") as f: rows = list(csv.DictReader(f))
    return json.loads(run.stdout), rows


def recompute(panel, root):
    """The length this panel would leave on this hair."""
    s = dot(add(root, panel["anchor"], -1), panel["parting"])
    t = line_at(panel["line"], s, panel["follows"])
    if panel["follows"]: return panel["factor"] * t, None
    end = add(add(panel["place"], panel["direction"], t), panel["finger"], s)
    return None, end


def plan(head, steps, sections=None, **more):
    p = {"format": "lengthwise plan", "version": 1, "title": "recompute", "units": "cm", "head": head,
         "hair": {"length": 40}, "sections": sections or [], "steps": steps}
    p.update(more)
    return p


def step(**more):
    s = {"name": "a", "section": "back", "panels": {"run": "level", "thickness": 2.5},
         "hold": {"elevation": 90, "from": "scalp"}, "line": "straight",
         "guide": {"kind": "travelling", "length": 9}}
    s.update(more)
    return s


BACK = [{"split": "all", "parting": {"upright": "ear top left"}, "into": ["front", "back"]}]
HOLDS = [{"elevation": 90, "from": "scalp"}, {"elevation": 45, "from": "scalp", "carry": "half"},
         {"elevation": 0, "from": "plumb"}, {"elevation": 120, "from": "plumb", "carry": 2}, {"direction": "back"},
         {"elevation": 90, "from": "scalp", "carry": "whole", "toward": {"place": "crown"}},
         {"elevation": 75, "from": "scalp", "turn": 20, "carry": "whole", "toward": {"panel": 1}}]
LINES = ["straight", "follow", {"tilt": 20, "longer": "left"}]
RUNS = [{"run": "level", "thickness": 2.5}, {"run": "upright", "thickness": 3, "start": "centre"},
        {"run": "diagonal back", "angle": 30, "thickness": 3}, {"run": "across", "thickness": 3},
        {"run": "radial", "pivot": "crown", "thickness": 4}]


def check_sphere():
    checked = wrapped = 0
    worst = 0.0
    for i, hold in enumerate(HOLDS):
        for j, line in enumerate(LINES):
            runs = RUNS[(i + j) % len(RUNS)]
            out, hairs = predict(plan({"kind": "sphere", "radius": 100 * R}, [step(hold=hold, line=line, panels=runs)], BACK))
            panels = {(p["step"], p["panel"]): p for p in out["panels"]}
            for h in hairs:
                if not h["panel"]: continue
                panel = panels[int(h["step"]), int(h["panel"])]
                root = [float(h[k]) for k in "xyz"]
                length, end = recompute(panel, root)
                if length is None:
                    length = panel["factor"] * taut(root, end)
                    wrapped += length > norm(add(end, root, -1)) + 1e-6
                worst = max(worst, abs(length - float(h["length"])))
                checked += 1
    print(f"sphere: {checked} hairs recomputed, {wrapped} of them bent round it, largest difference {worst:.2e} m")
    assert checked > 5000 and wrapped > 200, "too few hairs to mean anything"
    assert worst < 1e-4, "a hair differs by more than 0.1 mm"


def check_head():
    out, hairs = predict(plan({"kind": "woman"}, [step(hold={"direction": "back"}, guide={"length": 9})], BACK))
    panels = {(p["step"], p["panel"]): p for p in out["panels"]}
    clear = checked = 0
    for h in hairs:
        if not h["panel"]: continue
        root, n = [float(h[k]) for k in "xyz"], [float(h[k]) for k in ("nx", "ny", "nz")]
        _, end = recompute(panels[int(h["step"]), int(h["panel"])], root)
        away = add(end, root, -1)
        assert float(h["length"]) >= norm(away) - 1e-4
        checked += 1
        if dot(away, n) > 0.5 * norm(away) and root[1] > 0:
            clear += 1
            assert abs(float(h["length"]) - norm(away)) < 1e-4, (h, norm(away))
    print(f"woman's head: {checked} hairs no shorter than straight, {clear} held clear of the head exactly so")
    assert clear > 200


check_sphere()
check_head()
