"""What other people's programs make of the three formats: the specimen page is checked, searched, read aloud, rasterised
and opened by qpdf, poppler, libxml2, Chromium and ZBar.

usage: test_paper.py SPECIMEN
"""
import json
import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree
import zlib

SPECIMEN = pathlib.Path(sys.argv.pop(1)).resolve()
LINK = "https://example.org/plan/7?salon='invented'&v=2"
TITLE = "Specimen: every mark there is"
SENTENCES = [  # in the order in which the page is drawn
    TITLE,
    "Practice head 3 · cut wet · 1 March 2026",
    "1 Nape: the guide",
    "Take level panels of 1.5 cm from the hairline up. Hold each at 45° from the scalp and lay the fingers straight. "
    "The first is cut to 8 cm at the nape centre.",
    "Weight sits where the fingers stop rising.",
    "Turn the blades away from the skin, and follow the rules of your place.",
    "nape centre 8.0 cm 7.9–8.2",
    "example.org/plan/7",
    "Other alphabets",
    "Zürich façade Łódź naïve ½ ″ × −",
    "Ελληνικά: κούρεμα με οδηγό",
    "Кириллица: стрижка, затылок",
]
FIGURES = ["A map with contours of 12 and 14 cm", "A panel held at 45° from the scalp", "QR code of the plan's address",
           "The same map again"]


def run(*command, **options):
    return subprocess.run(command, capture_output=True, timeout=120, **options)


def output(*command):
    done = run(*command)
    assert done.returncode == 0, f"{command}: {done.returncode}\n{done.stdout[-2000:]}{done.stderr[-2000:]}"
    return done.stdout


def words(text):
    return " ".join(text.split())


def decode_png(data, rows):
    """Grey values of the first rows of an 8-bit RGB or RGBA PNG (ISO/IEC 15948)."""
    width, _, depth, colour = struct.unpack(">IIBB", data[16:26])
    size = {2: 3, 6: 4}[colour]
    assert depth == 8
    packed, at = b"", 8
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at : at + 8])
        if kind == b"IDAT":
            packed += data[at + 8 : at + 8 + length]
        at += 12 + length
    raw, stride, before, lines = zlib.decompress(packed), width * size, bytearray(width * size), []
    for row in range(min(rows, len(raw) // (stride + 1))):
        kind, line = raw[row * (stride + 1)], bytearray(raw[row * (stride + 1) + 1 : (row + 1) * (stride + 1)])
        if kind == 1:
            for i in range(size, stride):
                line[i] = (line[i] + line[i - size]) & 255
        elif kind == 2:
            line = bytearray((a + b) & 255 for a, b in zip(line, before))
        elif kind == 3:
            for i in range(stride):
                line[i] = (line[i] + ((line[i - size] if i >= size else 0) + before[i]) // 2) & 255
        elif kind == 4:
            for i in range(stride):
                a, b, c = (line[i - size], before[i], before[i - size]) if i >= size else (0, before[i], 0)
                p, q, r = abs(b - c), abs(a - c), abs(a + b - 2 * c)
                line[i] = (line[i] + (a if p <= q and p <= r else b if q <= r else c)) & 255
        before = line
        lines.append(bytes((3 * r + 6 * g + b) // 10 for r, g, b in zip(line[0::size], line[1::size], line[2::size])))
    return lines


def decode_pgm(data):
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    width, height = int(head[1]), int(head[2])
    return [data[head.end() + y * width : head.end() + (y + 1) * width] for y in range(height)]


CELL = 16  # dots; a line a dot to the side, or smoothed otherwise, changes a cell little


def cells(lines):
    return [[sum(sum(lines[y + k][x : x + CELL]) for k in range(CELL)) / CELL**2 for x in range(0, 784, CELL)]
            for y in range(0, 1104, CELL)]


class Paper(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.temporary = tempfile.TemporaryDirectory()
        cls.at = pathlib.Path(cls.temporary.name)
        output(SPECIMEN, cls.at)
        cls.pdf, cls.svg, cls.png = (cls.at / f"specimen.{kind}" for kind in ("pdf", "svg", "png"))
        objects = json.loads(output("qpdf", "--json=2", "--json-key=qpdf", cls.pdf))["qpdf"][1]
        cls.objects = {name.removeprefix("obj:"): value for name, value in objects.items()}
        cls.root = cls.get(cls.objects["trailer"]["value"]["/Root"])

    @classmethod
    def tearDownClass(cls):
        cls.temporary.cleanup()

    @classmethod
    def get(cls, value):
        """A value of the PDF, its references followed."""
        while isinstance(value, str) and value in cls.objects:
            value = cls.objects[value].get("value", cls.objects[value].get("stream", {}).get("dict"))
        return value

    def tags(self, node, depth=0):
        """Every element of the tree of tags, in reading order."""
        node = self.get(node)
        if isinstance(node, list):
            return [tag for item in node for tag in self.tags(item, depth)]
        if not isinstance(node, dict):
            return []
        own = [node] if "/S" in node else []
        return own + self.tags(node.get("/K", []), depth + 1)

    def test_pdf_is_sound(self):
        self.assertIn(b"No syntax or stream encoding errors", output("qpdf", "--check", self.pdf))

    def test_pdf_says_what_it_is(self):
        info = output("pdfinfo", self.pdf).decode()
        for line in (r"Title: +Specimen: every mark there is", r"Subject: +What a page can carry", r"Creator: +lengthwise",
                     r"CreationDate: +Sun Mar +1 00:00:00 2026", r"Tagged: +yes", r"Pages: +2", r"Page size: .*A4"):
            self.assertRegex(info, line)
        self.assertEqual(self.root["/Lang"], "u:en")
        self.assertEqual(self.root["/ViewerPreferences"], {"/DisplayDocTitle": True})
        self.assertEqual(self.get(self.root["/MarkInfo"]), {"/Marked": True})

    def test_the_clock_stays_out(self):
        info = output("pdfinfo", self.at / "untold.pdf").decode()
        self.assertRegex(info, r"Creator: +lengthwise")
        self.assertNotRegex(info, r"Date|Title")

    def test_every_font_is_embedded(self):
        rows = output("pdffonts", self.pdf).decode().splitlines()[2:]
        self.assertGreater(len(rows), 3)
        for row in rows:
            self.assertRegex(row, r" yes yes yes +\d+ +\d+$")  # embedded, a subset, with its characters told
        self.assertTrue(any("+Inter-Regular" in row for row in rows))

    def test_every_sentence_is_found_in_order(self):
        text = words(output("pdftotext", "-raw", self.pdf, "-").decode())
        at = 0
        for sentence in SENTENCES:
            found = text.find(sentence, at)
            self.assertGreaterEqual(found, 0, f"{sentence!r} is not in what follows {text[max(0, at - 60) : at]!r}")
            at = found + len(sentence)
        text = output("pdftotext", self.pdf, "-").decode()  # put in the order of reading
        for word in ("Ελληνικά", "стрижка", "תספורת", "متدرجة"):  # what DejaVu Sans has, which is always there
            self.assertIn(word, text)

    def test_parts_are_tagged(self):
        tags = self.tags(self.root["/StructTreeRoot"])
        kinds = [tag["/S"] for tag in tags]
        self.assertEqual(kinds[:5], ["/Document", "/H1", "/P", "/H2", "/P"])
        self.assertEqual(kinds.count("/Document"), 1)
        self.assertEqual([kinds.count(kind) for kind in ("/Table", "/TR", "/TH", "/TD")], [1, 3, 5, 4])
        self.assertEqual(kinds.count("/Note"), 2)
        self.assertEqual(kinds.count("/Link"), 2)
        self.assertEqual([tag.get("/Alt") for tag in tags if tag["/S"] == "/Figure"], ["u:" + words for words in FIGURES])
        document = next(name for name, value in self.objects.items() if self.get(name) is tags[0] or value.get("value") == tags[0])
        for tag in self.get(tags[0]["/K"]):
            self.assertEqual(self.get(tag)["/P"], document)

    def test_links_lead_to_the_address(self):
        links = [value["value"] for value in self.objects.values()
                 if isinstance(value.get("value"), dict) and value["value"].get("/Subtype") == "/Link"]
        self.assertEqual(len(links), 2)
        for link in links:
            self.assertEqual(self.get(link["/A"])["/URI"], "u:" + LINK)
            self.assertEqual(link["/Contents"], "u:" + LINK)

    def test_headings_are_listed(self):
        titles = [self.get(value["value"]["/Title"]) for value in self.objects.values()
                  if isinstance(value.get("value"), dict) and "/Title" in value["value"] and "/Parent" in value["value"]]
        self.assertEqual(sorted(titles), sorted(["u:" + TITLE, "u:1 Nape: the guide", "u:Other alphabets"]))

    def test_the_same_pages_are_the_same_bytes(self):
        with tempfile.TemporaryDirectory() as again:
            output(SPECIMEN, again)
            for file in (self.pdf, self.svg, self.png):
                self.assertEqual(file.read_bytes(), (pathlib.Path(again) / file.name).read_bytes(), file.name)

    def test_files_are_small(self):
        self.assertLess(self.pdf.stat().st_size, 100_000)  # a sheet of twenty such pages must be below 2 MB

    def test_svg_is_well_formed(self):
        output("xmllint", "--noout", "--nonet", self.svg)
        svg = xml.etree.ElementTree.parse(self.svg).getroot()
        space = "{http://www.w3.org/2000/svg}"
        self.assertEqual(svg.tag, space + "svg")
        self.assertEqual(svg.get("{http://www.w3.org/XML/1998/namespace}lang"), "en")
        self.assertEqual(svg[0].tag, space + "title")
        self.assertEqual(svg[0].text, TITLE)
        for sentence in SENTENCES[:6] + SENTENCES[7:] + FIGURES:
            self.assertIn(sentence, words(svg[1].text))
        names = [element.get("id") for element in svg.iter() if element.get("id")]
        self.assertEqual(len(names), len(set(names)))
        for element in svg.iter():
            reference = element.get("{http://www.w3.org/1999/xlink}href", "")
            self.assertTrue(not reference.startswith("#") or reference[1:] in names, reference)

    def test_the_code_is_read_back(self):
        self.assertIn(f"QR-Code:{LINK}\n", output("zbarimg", "--quiet", self.png).decode())
        output("pdftoppm", "-r", "150", "-png", "-f", "1", "-l", "1", self.pdf, self.at / "paper")
        self.assertIn(f"QR-Code:{LINK}\n", output("zbarimg", "--quiet", next(self.at.glob("paper*.png"))).decode())

    def test_three_formats_show_the_same(self):
        """The first page as a PDF's reader, a browser and our PNG show it, at 96 dots per inch."""
        picture = cells(decode_png(self.png.read_bytes(), 1104))
        output("pdftoppm", "-r", "96", "-gray", "-f", "1", "-l", "1", self.pdf, self.at / "grey")
        shot = self.at / "shot.png"
        with tempfile.TemporaryDirectory() as profile:
            done = run("chromium", "--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
                       "--force-device-scale-factor=1", f"--user-data-dir={profile}", "--window-size=794,1123",
                       f"--screenshot={shot}", self.svg.as_uri())
        self.assertEqual(done.returncode, 0, done.stderr[-2000:])
        others = {"PDF": cells(decode_pgm(next(self.at.glob("grey*.pgm")).read_bytes())),
                  "SVG": cells(decode_png(shot.read_bytes(), 1104))}
        ink = sum(255 - cell for row in picture for cell in row)
        self.assertGreater(ink / sum(len(row) for row in picture), 5)  # the page is not blank
        for name, other in others.items():
            apart = [abs(a - b) for p, q in zip(picture, other) for a, b in zip(p, q)]
            self.assertLess(max(apart), 40, name)
            self.assertLess(sum(apart) / len(apart), 1.5, name)


if __name__ == "__main__":
    unittest.main()
