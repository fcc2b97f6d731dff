"""The book from the command line, as a hairdresser would use it. Everybody in it is invented.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree.
"""
import json
import os
import pathlib
import re
import sqlite3
import stat
import subprocess
import tempfile
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
EXAMPLES = pathlib.Path(os.environ["LW_SOURCE"], "examples")
FINE, INPUT, USAGE, MACHINE = 0, 1, 2, 3
MEMORY = "/dev/shm"  # waits for no disk
BOB = EXAMPLES / "graduated-bob.json"


class Book(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(dir=MEMORY if os.access(MEMORY, os.W_OK) else None)
        self.addCleanup(folder.cleanup)
        self.path = pathlib.Path(folder.name)
        self.environment = {**os.environ, "XDG_DATA_HOME": str(self.path / "data")}
        self.file = self.path / "data" / "lengthwise" / "book.sqlite"

    def run_book(self, *words, **more):
        return subprocess.run([PROGRAM, "book", *map(str, words)], capture_output=True, text=True, env=self.environment,
                              cwd=self.path, **more)

    def expect(self, code, *words, said=(), **more):
        result = self.run_book(*words, **more)
        self.assertEqual(result.returncode, code, result.stderr + result.stdout[:2000])
        for text in said:
            self.assertIn(text, result.stdout if code == FINE else result.stderr)
        if code:  # "where: what", and what to do about it
            self.assertRegex(result.stderr, r"\A\S.*: .+\n  \S|\Alengthwise: .+; the nearest is \w+\n\Z")
        return result.stdout

    def fill(self):
        self.expect(FINE, "add", "Wilma Osier", "--kind", "woman", "--circumference", 55.5, "--hair", 35, "--tags", "short, colour")
        self.expect(FINE, "add", "Théo Marsh")
        self.expect(FINE, "keep", BOB, "--for", "wilma", said=["plan 1, revision 1"])
        self.expect(FINE, "note", "Wilma", "Likes it behind the ear.")
        self.expect(FINE, "note", "Too heavy at the nape", "--plan", 1)

    def test_no_book_yet(self):
        self.expect(INPUT, "list", said=[f"{self.file}: book: there is no book", "book add NAME"])
        self.assertFalse(self.file.exists())

    def test_only_its_owner_reads_what_it_writes(self):
        old = os.umask(0)
        self.addCleanup(os.umask, old)
        self.fill()
        self.expect(FINE, "export", "-o", "e.json")
        self.expect(FINE, "take", 1, "-o", "bob.json")
        self.expect(FINE, "backup", "copy")
        for path in [*self.file.parent.iterdir(), self.path / "e.json", self.path / "bob.json", self.path / "copy"]:
            self.assertEqual(stat.S_IMODE(path.stat().st_mode), 0o600, path)
        self.assertEqual(stat.S_IMODE(self.file.parent.stat().st_mode), 0o700)

    def test_lists_and_shows(self):
        self.fill()
        people = self.expect(FINE, "list", said=["Wilma Osier", "Théo Marsh", "colour, short"])
        self.assertLess(people.index("Théo"), people.index("Wilma"))
        self.expect(FINE, "list", "plans", said=["Graduated bob", "Wilma Osier"])
        self.expect(FINE, "list", "notes", said=["behind the ear", "Too heavy"])
        self.assertIn("Nothing", self.expect(FINE, "list", "plans", "--for", "theo"))
        self.assertIn("Wilma", self.expect(FINE, "list", "--tags", "colour"))
        self.expect(FINE, "find", "HEAV", "nape", said=["Too heavy"])
        self.assertNotIn("Wilma", self.expect(FINE, "find", "marsh"))
        self.expect(FINE, "show", "wilma osier", said=["number 1", '"circumference": 55.5', "Graduated bob", "behind the ear"])
        for line in self.run_book("list", "notes").stdout.splitlines():
            self.assertLessEqual(len(line), 100)

    def test_who_is_meant(self):
        self.fill()
        self.expect(FINE, "add", "Wilma Reed")
        self.expect(INPUT, "show", "wilma", said=["2 people", "1 Wilma Osier", "3 Wilma Reed"])
        self.expect(INPUT, "show", "nobody", said=["nobody in the book"])
        self.expect(INPUT, "show", 77, said=["no person 77"])
        self.expect(FINE, "rename", 3, "Wilma")
        self.expect(FINE, "show", "wilma", said=["(number 3)"])  # the whole name
        self.expect(FINE, "show", "osier", said=["(number 1)"])

    def test_a_plan_round_trips_and_keeps_its_revisions(self):
        self.fill()
        text = BOB.read_text()
        self.assertEqual(self.expect(FINE, "take", 1), text)
        (self.path / "b.json").write_text(text.replace('"length": 35', '"length": 30'))
        self.expect(FINE, "keep", "b.json", "--plan", 1, said=["plan 1, revision 2"])
        self.expect(FINE, "keep", "b.json", "--plan", 1, said=["already, revision 2"])
        self.expect(FINE, "keep", "-", "--plan", 1, "--tags", "soft", input=text, said=["revision 3"])
        self.assertIn('"length": 30', self.expect(FINE, "take", 1, "--revision", 2))
        self.expect(INPUT, "take", 1, "--revision", 9, said=["no revision 9"])
        history = self.expect(FINE, "history", 1)
        self.assertEqual(re.findall(r"(?m)^ +(\d+)  \d{4}", history), ["3", "2", "1"])
        self.expect(FINE, "take", 1, "-o", "out.json")
        self.assertEqual((self.path / "out.json").read_text(), text)
        subprocess.run([PROGRAM, "predict", "out.json", "--hairs-count", "200"], cwd=self.path, check=True, capture_output=True)

    def test_what_was_changed_meanwhile_is_not_overwritten(self):
        self.fill()
        mine = BOB.read_text().replace('"length": 35', '"length": 31')
        self.expect(FINE, "keep", "-", "--plan", 1, "--revision", 1, input=mine)
        yours = BOB.read_text().replace('"length": 35', '"length": 32')
        self.expect(INPUT, "keep", "-", "--plan", 1, "--revision", 1, input=yours,
                    said=["changed meanwhile", "book take 1 --revision 2"])
        self.assertEqual(self.expect(FINE, "take", 1), mine)
        self.expect(FINE, "keep", "-", "--plan", 1, "--revision", 2, input=yours)

    def test_faults_of_a_plan_have_their_place(self):
        self.fill()
        bad = BOB.read_text().replace('"elevation"', '"elevatoin"', 1)
        (self.path / "bad.json").write_text(bad)
        line = 1 + bad[:bad.index("elevatoin")].count("\n")
        self.expect(INPUT, "keep", "bad.json", said=[f"bad.json:{line}:", "elevatoin", "elevation"])
        self.expect(INPUT, "keep", "none.json", said=["none.json"])
        self.expect(INPUT, "keep", BOB, "--for", "nobody", said=["nobody"])

    def test_measures(self):
        self.fill()
        self.expect(FINE, "measure", "theo", BOB, "--nape-width", "4in", "--hairline", "peaked")
        shown = re.search(r"Measures: (.*)", self.expect(FINE, "show", "theo"))[1]
        noted, plan = json.loads(shown), json.loads(BOB.read_text())
        self.assertEqual(noted["head"], {**plan["head"], "nape_width": 10.16, "hairline": "peaked"})
        self.assertEqual(noted["hair"], plan["hair"])
        self.expect(FINE, "measure", "theo", "--circumference", 60)
        taken = json.loads(self.expect(FINE, "take", 1, "--on", "theo"))
        self.assertEqual(taken["head"]["circumference"], 60)
        self.assertEqual(taken["person"], "Théo Marsh")
        self.assertEqual(taken["steps"], plan["steps"])
        self.expect(USAGE, "measure", "theo", said=["needs a measure"])
        self.expect(FINE, "add", "Nell Sedge")
        self.expect(INPUT, "take", 1, "--on", "nell", said=["no measures of Nell Sedge"])
        self.expect(FINE, "measure", "nell", "--units", "in", "--circumference", 56)
        self.expect(INPUT, "take", 1, "--on", "nell", said=["inches"])
        result = self.run_book("measure", "theo", "--circumference", 50, "--head-length", 24, "--head-breadth", 19)
        self.assertEqual(result.returncode, FINE)
        self.assertIn("noted all the same", result.stderr)

    def test_tags(self):
        self.fill()
        self.expect(FINE, "tag", "wilma", "vip,  long ,vip")
        self.expect(FINE, "tag", "fringe", "--plan", 1, said=["revision 2"])
        self.assertIn("long, vip", self.expect(FINE, "list"))
        self.assertIn("fringe", self.expect(FINE, "list", "plans", "--tags", "fringe"))
        self.expect(USAGE, "tag", "vip", said=["Name a person"])
        self.expect(USAGE, "tag", "wilma", "vip", "--plan", 1, said=["not both"])

    def test_forgetting(self):
        self.fill()
        self.expect(FINE, "note", "theo", "Came with Wilma Osier.")
        result = self.run_book("forget", "wilma")
        self.assertEqual(result.returncode, USAGE)
        self.assertIn("a person with measures, 1 plan (1 revision), 2 notes", result.stdout)
        self.assertIn("--yes", result.stderr)
        self.assertIn("Wilma", self.expect(FINE, "list"))
        self.expect(FINE, "forget", "wilma", "--yes", said=["a person with measures", "1 other places", "Backups"])
        self.assertNotIn("Wilma", self.expect(FINE, "list"))
        self.assertIn("Nothing", self.expect(FINE, "list", "plans"))
        self.assertNotIn(b"behind the ear", self.file.read_bytes())
        self.expect(FINE, "forget", "--note", 3, "--yes", said=["1 note"])
        self.assertNotIn(b"Wilma", self.file.read_bytes())
        self.expect(USAGE, "forget", said=["whom or what?"])
        self.expect(USAGE, "forget", "theo", "--plan", 1, said=["one at a time"])

    def test_export_import_backup_check(self):
        self.fill()
        text = self.expect(FINE, "export")
        whole = json.loads(text)
        self.assertEqual(whole["format"], "lengthwise book")
        self.assertEqual([p["name"] for p in whole["people"]], ["Wilma Osier", "Théo Marsh"])
        self.assertEqual(whole["plans"][0]["revisions"][0]["plan"], json.loads(BOB.read_text()))
        self.expect(FINE, "import", "-", "--book", "new", input=text, said=["2 people, 1 plans of 1 revisions, 2 notes"])
        self.assertEqual(self.expect(FINE, "export", "--book", "new"), text)
        self.expect(INPUT, "import", "-", "--book", "new", input=text, said=["holds something"])
        self.expect(INPUT, "import", "-", "--book", "third", input=text[:-40], said=["standard input:"])
        self.expect(FINE, "backup", "copy")
        self.assertEqual(self.expect(FINE, "export", "--book", "copy"), text)
        self.expect(MACHINE, "backup", "copy", said=["exists"])
        self.expect(FINE, "check", said=["The book is sound"])

    def test_the_form_is_as_its_page_shows(self):
        page = pathlib.Path(os.environ["LW_SOURCE"], "docs", "book.md").read_text()
        example = re.search(r"```json\n(.*?)```", page, re.S)[1]
        self.expect(FINE, "import", "-", input=example)
        self.assertEqual(json.loads(self.expect(FINE, "export")), json.loads(example))

    def test_a_damaged_book_is_refused_and_rescued(self):
        self.fill()
        before = self.expect(FINE, "export")
        db = sqlite3.connect(self.file)
        db.execute("UPDATE note SET text = 'Liked it behind the ear.' WHERE id = 1")
        db.commit()
        db.close()
        self.expect(INPUT, "check", said=["note 1 is not as it was written", "book rescue"])
        self.expect(INPUT, "export", said=["damaged", "book rescue"])
        result = self.run_book("rescue")
        self.assertIn("not as they were written: 0 people, 0 plans of 0 revisions, 1 notes", result.stderr)
        self.assertEqual(result.stdout, before.replace("Likes", "Liked"))
        data = bytearray(self.file.read_bytes())
        data[4096 * 2:4096 * 3] = bytes(4096)
        self.file.write_bytes(data)
        self.expect(INPUT, "list", said=["damaged", "book rescue"])
        self.assertEqual(self.file.read_bytes(), bytes(data))
        self.file.write_bytes(b"")
        self.expect(INPUT, "add", "Nell Sedge", said=["empty"])
        self.assertEqual(self.file.read_bytes(), b"")

    def test_usage(self):
        self.expect(USAGE, "lst", said=["the nearest is list"])
        self.expect(USAGE, "list", "everybody", said=["people, plans or notes"])
        self.expect(USAGE, "add", said=["needs NAME"])
        self.expect(USAGE, "add", "a", "b", said=["more than it takes"])
        self.expect(USAGE, "list", "--yes", said=["takes no --yes"])
        self.expect(USAGE, "history", "x", said=["not the number of a plan"])
        self.expect(USAGE, "keep", BOB, "--revision", 2, said=["--plan"])
        self.expect(USAGE, "keep", BOB, "--plan", 1, "--for", "x", said=["not both"])

    def test_verbs_are_in_help_manual_and_completion(self):
        said = subprocess.run([PROGRAM, "book", "--help"], capture_output=True, text=True, check=True).stdout
        manual = subprocess.run([PROGRAM, "manual"], capture_output=True, text=True, check=True).stdout
        completion = subprocess.run([PROGRAM, "completion"], capture_output=True, text=True, check=True).stdout
        verbs = re.findall(r"(?m)^  ([a-z]+)\b", said.split("verbs:\n")[1].split("options:")[0])
        self.assertEqual(len(verbs), 17)
        words = re.search(r"(?m)^        book\) words='(.*?)'", completion)[1].split()
        for verb in verbs:
            self.assertRegex(manual, rf"(?m)^\.B {verb}\b")
            self.assertIn(verb, words)
        self.assertLessEqual(max(map(len, said.splitlines())), 80)

    def test_a_full_disk_is_said(self):
        self.fill()
        with open("/dev/full", "w") as full:
            result = subprocess.run([PROGRAM, "book", "export"], stdout=full, stderr=subprocess.PIPE, text=True, env=self.environment)
        self.assertEqual(result.returncode, MACHINE)
        self.assertIn("No space left", result.stderr)


if __name__ == "__main__":
    unittest.main()
