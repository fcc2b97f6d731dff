"""The sheet as a user prints it: every example, opened by qpdf and poppler; worksheets and their keys;
odd plans; and what happens where the file cannot be written.

The examples take turns on the two papers, and in test_sheet.c the other way round.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree; LW_EXAMPLES, names of the examples where not all are tried.
"""
import json
import os
import pathlib
import re
import resource
import signal
import struct
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree

PROGRAM = os.environ["LW_PROGRAM"]
SOURCE = pathlib.Path(os.environ["LW_SOURCE"])
FINE, INPUT, USAGE, MACHINE = 0, 1, 2, 3
ALL = sorted(path.stem for path in (SOURCE / "examples").glob("*.json"))
EXAMPLES = sorted(set(ALL) & set(os.environ.get("LW_EXAMPLES", ",".join(ALL)).split(",")))
KEY = ["--for", "key", "--no-fall"]  # has no pictures: the quickest of the sheets, where any of them will do
KEPT = tempfile.TemporaryDirectory()
LARGEST = 2_000_000  # bytes of an example's sheet
MEASURE = r"\d+(?:\.\d+| \d/\d|/\d)?\s?(?:cm|in|°|%|degrees?)(?!\w)"  # a number with its unit


def run(*words, **more):
    return subprocess.run([PROGRAM, *map(str, words)], capture_output=True, text=True, timeout=300, **more)


def tool(*words):
    done = subprocess.run(list(map(str, words)), capture_output=True, timeout=120)
    assert done.returncode == 0, (words, done.stderr)
    return done.stdout


def spaced(text):
    return re.sub(r"\s+", " ", text.replace("\xa0", " "))


def text_of(pdf, first=1, last=9999):
    return spaced(tool("pdftotext", "-raw", "-f", first, "-l", last, pdf, "-").decode())


def pages_of(pdf):
    return int(re.search(rb"Pages: +(\d+)", tool("pdfinfo", pdf))[1])


def told():
    """What test_say.c says the examples' steps are told by: {example: [sentences in order]}."""
    source = (SOURCE / "tests/test_say.c").read_text()
    block = re.search(r"told examples\[\] = \{(.*?)\n\};", source, re.S)[1]
    block = re.sub(r"\bLQ\b", '"\u201c"', re.sub(r"\bRQ\b", '"\u201d"', block))
    block = re.sub(r'"\s*"', "", block)  # neighbouring strings are one
    found = {}
    for name, _step, does, leaves in re.findall(r'\{"([^"]*)",\s*(\d+),\s*"([^"]*)",\s*"([^"]*)"\}', block):
        found.setdefault(name, []).extend([does, leaves])
    return found


class Place(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.path = pathlib.Path(folder.name)

    def plan(self, **what):
        path = self.path / "plan.json"
        path.write_text(json.dumps({"format": "lengthwise plan", "version": 1, "units": "cm"} | what))
        return path

    def sheet(self, plan, *words, name="sheet.pdf"):
        target = self.path / name
        done = run("sheet", plan, "-o", target, "--date", "2026-03-01", *words)
        self.assertEqual((done.returncode, done.stdout, done.stderr), (FINE, "", ""))
        return target

    def example(self, name):
        """The sheet of an example, made once for all tests."""
        kept = pathlib.Path(KEPT.name, f"{name}.pdf")
        if not kept.exists():
            made = self.sheet(SOURCE / f"examples/{name}.json", "--paper", ["a4", "letter"][ALL.index(name) % 2])
            kept.write_bytes(made.read_bytes())
        return kept

    def refused(self, code, *words, says, **more):
        done = run("sheet", *words, **more)
        self.assertEqual(done.returncode, code, done.stderr)
        self.assertEqual(done.stdout, "")
        for text in [says] if isinstance(says, str) else says:
            self.assertIn(text, done.stderr)
        self.assertLessEqual(len(done.stderr.splitlines()), 2)  # one line, and a remedy


class Examples(Place):
    def test_what_is_printed(self):
        sentences = told()
        self.assertEqual(sorted(sentences), ALL)
        for name in EXAMPLES:
            with self.subTest(name):
                pdf = self.example(name)
                tool("qpdf", "--check", pdf)
                self.assertLess(pdf.stat().st_size, LARGEST)
                text, at = text_of(pdf), 0
                for sentence in sentences[name]:
                    at = text.find(spaced(sentence), at)
                    self.assertGreaterEqual(at, 0, f"{sentence!r} is missing or out of order")
                    at += len(sentence)
                plan, pages = json.loads((SOURCE / f"examples/{name}.json").read_text()), pages_of(pdf)
                self.assertEqual(re.findall(r"Page (\d+) of (\d+)", text), [(str(i + 1), str(pages)) for i in range(pages)])
                self.assertIn(spaced(plan["title"]), text)
                self.assertIn(f"{plan['person']} · 2026-03-01", text)
                self.assertIn(spaced(plan["note"]), text)
                about = tool("pdfinfo", pdf).decode()
                self.assertIn(f"Title:           {plan['title']}\n", about)
                self.assertRegex(about, r"Tagged: +yes")
                self.assertRegex(about, r"Page size: +" + [r"595\S* x 841", r"612\S* x 792"][ALL.index(name) % 2])
                self.assertNotRegex(tool("pdffonts", pdf).decode().split("-\n", 1)[1], r" no +(yes|no) +(yes|no) +\d")

    def test_the_tables_are_the_prediction(self):
        plan = SOURCE / "examples/graduated-bob.json"
        text = text_of(self.example("graduated-bob"))
        for place in json.loads(run("predict", "--json", plan).stdout)["landmarks"]:
            name = re.sub(" (left|right)$", "", place["name"])
            self.assertRegex(text, rf"\b{name} (\d+\.\d )?{100 * place['length']:.1f}\b")

    def test_a_step_says_what_its_tool_calls_for(self):
        fade, fringe = (text_of(self.example(name)) for name in ("clipper-fade", "fringe"))
        self.assertIn("Check that the guard is locked.", fade)
        self.assertNotIn("guard", fringe)
        for text in (fade, fringe):
            self.assertIn("Take care Clean and disinfect tools between people", text)
            self.assertIn("With children", text)
            self.assertIn("Local rules and a licensed practitioner's judgement come before this sheet.", text)


class Lessons(Place):
    def test_a_worksheet_has_gaps_and_the_key_fills_them(self):
        for name in sorted({"graduated-bob", "clipper-fade", "short-mixed-shapes"} & set(EXAMPLES)):
            with self.subTest(name):
                plan = SOURCE / f"examples/{name}.json"
                worksheet = self.sheet(plan, "--for", "worksheet", name="worksheet.pdf")
                key = self.sheet(plan, "--for", "key", name="key.pdf")
                blank, answers = text_of(worksheet), text_of(key)
                count = len(set(re.findall(r"\((\d+)\)", blank)))
                self.assertGreater(count, 30)
                for text in (blank, answers):
                    self.assertEqual({int(n) for n in re.findall(r"\((\d+)\)", text)}, set(range(1, count + 1)))
                self.assertEqual(re.findall(MEASURE, text_of(worksheet, 2)), [])
                self.assertIn("Worksheet", blank)
                self.assertIn("Name Date", blank)
                self.assertNotIn(spaced(json.loads(plan.read_text())["note"])[:40], blank)
                # Answers of the steps, after those of the tables on page 1.
                steps = answers.split(" 1 " + json.loads(plan.read_text())["steps"][0]["name"].capitalize(), 1)[1]
                self.assertGreater(len(re.findall(MEASURE, steps)), 5)
                said = "".join(told()[name])
                for answer in re.findall(rf"\(\d+\) ({MEASURE})", steps):
                    self.assertIn(answer, said)

    def test_the_lengths_of_the_first_page_are_blank(self):
        plan = SOURCE / "examples/one-length-bob.json"
        lengths = [f"{100 * place['length']:.1f}" for place in json.loads(run("predict", "--json", plan).stdout)["landmarks"]]
        blank = text_of(self.sheet(plan, "--for", "worksheet"), 1, 1)
        key = text_of(self.sheet(plan, "--for", "key"))
        for length in lengths:
            self.assertNotRegex(blank, rf"(?<![\d.]){re.escape(length)}(?![\d.])")
            self.assertRegex(key, rf"\(\d+\) {re.escape(length)}")
        self.assertNotIn("one length", blank.replace("One-length", ""))
        self.assertIn("one length", key)


class Fall(Place):
    def test_the_fall_is_the_prediction(self):
        plan = SOURCE / "examples/graduated-bob.json"
        fall = json.loads(run("predict", "--json", plan).stdout)["fall"]
        sides = {side["side"]: side for side in fall["sides"]}
        text = text_of(self.example("graduated-bob"), 1, 1)
        self.assertIn("How it falls Heavy: outline. Thin: ends. Dashed: where weight lies above the ends.", text)
        said = []
        for name in ("front", "left", "back"):
            side = sides[name]
            said.append(f"ends {side['perimeter_words']}")
            if side["weight"] is None:
                said.append("weight no line")
                continue
            above = round(100 * (side["weight"] - side["perimeter"]), 1)
            said.append(f"weight {above:g} cm above, {side['sharpness_word']}")
        self.assertTrue(any("above" in words for words in said))
        said += [f"{word} {round(100 * fall[word]['breadth'], 1):g} cm" for word in ("width", "depth")]
        for words in said:
            self.assertIn(words, text)

    def test_no_fall(self):
        plan = SOURCE / "examples/graduated-bob.json"
        for use in ("cutting", "worksheet", "key"):
            pdf = self.sheet(plan, "--no-fall", "--for", use)
            self.assertNotIn("How it falls", text_of(pdf))
            tool("qpdf", "--check", pdf)

    def test_a_worksheet_has_the_bust_to_draw_on(self):
        plan = SOURCE / "examples/one-length-bob.json"
        blank = text_of(self.sheet(plan, "--for", "worksheet"), 1, 1)
        key = text_of(self.sheet(plan, "--for", "key"), 1, 1)
        self.assertIn("write the lengths you expect below.", blank)
        self.assertIn("Draw how you expect the hair to fall, where it ends and where its weight lies.", blank)
        self.assertRegex(blank, r"ends \(1\)")
        self.assertRegex(key, r"ends \(1\) at the collar")
        for word in ("collar", "sharp", "soft"):
            self.assertNotIn(word, blank)


class Formats(Place):
    def test_svg_and_png(self):
        plan = SOURCE / "examples/fringe.json"
        svg = xml.etree.ElementTree.parse(self.sheet(plan, name="sheet.SVG")).getroot()
        self.assertEqual(svg.tag, "{http://www.w3.org/2000/svg}svg")
        for dpi in (30, 60):
            data = self.sheet(plan, "--dpi", dpi, *KEY, name="sheet.png").read_bytes()
            self.assertEqual(data[:8], b"\x89PNG\r\n\x1a\n")
            width, height = struct.unpack(">II", data[16:24])
            self.assertAlmostEqual(width, 595.276 / 72 * dpi, delta=1)
            self.assertAlmostEqual(height, 841.89 / 72 * dpi, delta=1)
        self.assertEqual(self.sheet(plan, "--format", "pdf", *KEY, name="sheet").read_bytes()[:5], b"%PDF-")

    def test_one_page(self):
        plan = SOURCE / "examples/fringe.json"
        pdf = self.sheet(plan, "--page", 2)
        self.assertEqual(pages_of(pdf), 1)
        self.assertIn("Page 2 of 2", text_of(pdf))
        self.refused(USAGE, plan, "-o", self.path / "x.pdf", "--page", 2, *KEY, says="the sheet has 1 page, and no page 2")

    def test_the_same_date_gives_the_same_bytes(self):
        plan = SOURCE / "examples/fringe.json"
        first = self.sheet(plan, "--threads", 1, name="a.pdf").read_bytes()
        self.assertEqual(first, self.sheet(plan, "--threads", 2, name="b.pdf").read_bytes())
        run("sheet", plan, "-o", self.path / "c.pdf", "--date", "1999-12-31", *KEY)
        self.assertIn("1999-12-31", text_of(self.path / "c.pdf"))
        run("sheet", plan, "-o", self.path / "d.pdf", *KEY)
        self.assertRegex(text_of(self.path / "d.pdf"), r"· 20\d\d-\d\d-\d\d")


class Odd(Place):
    def test_sixty_steps(self):
        runs = ["level", "upright", "across", "along"]
        steps = [{"name": f"number {i + 1} " + "of a long day " * 6, "section": ["left", "right"][i % 2],
                  "panels": {"run": runs[i % 4], "thickness": 6}, "guide": {"length": 30 - i / 5}} for i in range(60)]
        plan = self.plan(title="Sixty", steps=steps,
                         sections=[{"split": "all", "parting": {"centre": 0}, "into": ["left", "right"]}])
        pdf = self.sheet(plan, "--hairs-count", 1000)
        pages, text = pages_of(pdf), text_of(pdf)
        self.assertEqual(pages, 31)
        self.assertEqual(re.findall(r"Page (\d+) of 31", text), [str(i + 1) for i in range(31)])
        self.assertEqual(re.findall(r"\b(\d+) Number \1 of a long", text), [str(i + 1) for i in range(60)])
        self.assertEqual(text.count("\u2026"), 60)  # each name is longer than its line
        key = text_of(self.sheet(plan, "--for", "key", "--hairs-count", 1000))
        self.assertEqual(re.findall(r"\b(\d+) Number \1 of a long", key), [str(i + 1) for i in range(60)])

    def test_nothing_but_what_must_be(self):
        pdf = self.sheet(self.plan())
        text = text_of(pdf)
        self.assertEqual(pages_of(pdf), 1)
        self.assertTrue(text.startswith("Haircut 2026-03-01"), text[:80])
        self.assertIn("0 steps, 0 cuts", text)
        for use in ("worksheet", "key"):
            self.assertIn("Haircut", text_of(self.sheet(self.plan(), "--for", use)))

    def test_other_alphabets_and_directions(self):
        title, person = "Μακριά στρώματα, длинные слои", "שלום עולם"
        pdf = self.sheet(self.plan(title=title, person=person, steps=[
            {"name": "الخطوة الأولى", "section": "all", "guide": {"length": 10}}]))
        text = text_of(pdf)
        self.assertIn(title, text)
        self.assertIn("2026-03-01", text)  # not turned round by the name beside it
        self.assertIn(f"Title:           {title}", tool("pdfinfo", pdf).decode())
        text = re.sub("[\u200e\u200f\u202a-\u202e\u2066-\u2069]", "", text)  # marks of direction
        letters = re.sub(r"[^\u0590-\u05ff]", "", text)
        self.assertIn(letters[:4], ("שלום", "םולש", "עולם", "םלוע"))
        self.assertRegex(text.replace(" ", ""), "[\u0600-\u06ff\ufe70-\ufeff]{10}")

    def test_long_names(self):
        title, person, name = "Long title " * 23, "Long person " * 21, "W" * 95
        plan = self.plan(title=title.strip(), person=person.strip(), note="word " * 102,
                         sections=[{"split": "all", "parting": {"centre": 0}, "into": ["V" * 95, "M" * 95]}],
                         steps=[{"name": name, "section": "V" * 95, "mirror": "M" * 95, "guide": {"length": 10}}])
        pdf = self.sheet(plan)
        boxes = tool("pdftotext", "-bbox", pdf, "-").decode()
        for x0, x1 in re.findall(r'xMin="([-\d.]+)".*?xMax="([-\d.]+)"', boxes):
            self.assertGreaterEqual(float(x0), 20)
            self.assertLessEqual(float(x1), 595 - 20)

    def test_a_link_and_no_link(self):
        def leads_to(pdf):
            return set(re.findall(rb"/URI \((.*?)\)", tool("qpdf", "--qdf", "--object-streams=disable", pdf, "-")))
        link = "https://example.org/plans/7?a=b"
        with_link, without = self.sheet(self.plan(link=link), name="a.pdf"), self.sheet(self.plan(), name="b.pdf")
        self.assertEqual(leads_to(with_link), {link.encode()})
        self.assertEqual(leads_to(without), set())
        self.assertIn(link, text_of(with_link))
        # The code: dark squares in the corner that the other sheet leaves white.
        def darkness(pdf):
            picture = tool("pdftoppm", "-r", 72, "-gray", "-x", 490, "-y", 36, "-W", 62, "-H", 34, pdf)
            pixels = picture[-62 * 34:]
            return sum(value < 128 for value in pixels) / len(pixels)
        self.assertGreater(darkness(with_link), 0.15)
        self.assertEqual(darkness(without), 0)
        long = "https://example.org/" + "x" * 480
        self.assertEqual(leads_to(self.sheet(self.plan(link=long))), {long.encode()})


class Refused(Place):
    def test_what_is_asked_for(self):
        plan = self.plan()
        self.refused(USAGE, plan, says="sheet needs --output FILE")
        self.refused(USAGE, plan, "-o", "sheet.doc", says=[".pdf, .svg or .png", "sheet.doc"])
        self.refused(USAGE, plan, "-o", "sheet", says="--format")
        self.refused(USAGE, plan, "-o", "a.pdf", "--dpi", 100, says="pdf has no --dpi")
        self.refused(USAGE, plan, "-o", "a.png", "--dpi", 5, says="18 to 1200")
        self.refused(USAGE, plan, "-o", "a.pdf", "--paper", "a5", says="--paper")
        self.refused(USAGE, plan, "-o", "a.pdf", "--for", "worksheets", says="the nearest is worksheet")
        for date in ["2026-13-01", "2026-02-30", "01.03.2026", "2026-3-1", "2026-03-01x", "", "+026-03-01"]:
            self.refused(USAGE, plan, "-o", "a.pdf", "--date", date, says="--date takes YYYY-MM-DD")
        self.refused(INPUT, self.path / "none.json", "-o", "a.pdf", says="none.json")

    def there(self):
        return sorted(path.name for path in self.path.rglob("*"))

    def test_places_that_take_no_file(self):
        plan, folder = self.plan(), self.path / "folder.pdf"
        folder.mkdir()
        before = self.there()
        self.refused(MACHINE, plan, *KEY, "-o", "/dev/full", "--format", "pdf", says=["/dev/full", "No space left"])
        self.refused(MACHINE, plan, *KEY, "-o", folder, says=["folder.pdf", "Is a directory"])
        self.refused(MACHINE, plan, *KEY, "-o", self.path / "no folder/a.pdf", says="No such file or directory")
        self.refused(MACHINE, plan, *KEY, "-o", plan / "a.pdf", says="Not a directory")
        self.refused(MACHINE, plan, *KEY, "-o", "/proc/a.pdf", says="cannot write /proc/a.pdf")
        self.assertEqual(self.there(), before)

    def test_a_disk_that_fills_up(self):
        plan, target = self.plan(), self.path / "a.pdf"
        target.write_text("what was there\n")
        before = self.there()
        def small_disk():
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (5000, 5000))
        self.refused(MACHINE, plan, *KEY, "-o", target, says=["a.pdf", "too large"], preexec_fn=small_disk)
        self.assertEqual(target.read_text(), "what was there\n")
        self.assertEqual(self.there(), before)

    def test_a_closed_pipe(self):
        read, write = os.pipe()
        os.close(read)
        done = subprocess.run([PROGRAM, "sheet", self.plan(), "-o", "/dev/stdout", "--format", "pdf", *KEY], stdout=write,
                              stderr=subprocess.PIPE, text=True)
        os.close(write)
        self.assertEqual(done.returncode, MACHINE)
        self.assertIn("Broken pipe", done.stderr)
        pipe = f'"{PROGRAM}" sheet "{self.plan()}" -o /dev/stdout --format pdf --for key | head -c 8'
        self.assertEqual(subprocess.run(["sh", "-c", pipe], capture_output=True).stdout, b"%PDF-1.5")


if __name__ == "__main__":
    unittest.main()
