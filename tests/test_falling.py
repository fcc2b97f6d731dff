"""Hair brought to rest by a command: how far it is on a terminal, Ctrl-C, and what is said of hairs that would not rest.

Environment: LW_PROGRAM, the program; LW_SOURCE, the top of the tree.
"""
import os
import pathlib
import pty
import re
import signal
import subprocess
import sys
import tempfile
import time
import tty
import unittest

PROGRAM = os.environ["LW_PROGRAM"]
EXAMPLES = pathlib.Path(os.environ["LW_SOURCE"], "examples")
BOB = EXAMPLES / "graduated-bob.json"
FINE = 0
SHOWN = re.compile(r"\rHair falls: (\d+) %")


def heed_signals():
    """Whoever runs this may have been told to ignore some, as a shell tells what it puts in the background, and nohup."""
    for number in [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]:
        signal.signal(number, signal.SIG_DFL)


NORMAL = {"preexec_fn": heed_signals}


class Running:
    """The program with its stderr on a terminal."""

    def __init__(self, *words, **more):
        self.end, other = pty.openpty()
        tty.setraw(other)
        self.process = subprocess.Popen([PROGRAM, *map(str, words)], stdout=subprocess.DEVNULL, stderr=other, **{**NORMAL, **more})
        os.close(other)
        self.said = ""

    def more(self):
        """Whether it goes on saying something."""
        try:
            part = os.read(self.end, 1000).decode()
        except OSError: # Linux: the other side was closed
            part = ""
        self.said += part
        return part != ""

    def until_it_shows(self):
        while not SHOWN.search(self.said):
            assert self.more(), self.said

    def finish(self):
        while self.more():
            pass
        os.close(self.end)
        return self.process.wait()


class Place(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory()
        self.addCleanup(folder.cleanup)
        self.path = pathlib.Path(folder.name)


class Progress(Place):
    def test_a_terminal_shows_how_far_it_is_and_is_wiped(self):
        running = Running("export", BOB, "-o", self.path / "hairs.csv", "--hairs-count", 20000)
        self.assertEqual(running.finish(), FINE)
        shares = list(map(int, SHOWN.findall(running.said)))
        self.assertGreater(len(shares), 1)
        self.assertEqual(shares, sorted(set(shares)))
        self.assertTrue(shares[0] < 50 and shares[-1] < 100)
        longest = max(len(line[0]) - 1 for line in SHOWN.finditer(running.said))
        wiped = re.search(r"\r( +)\r", running.said)
        self.assertGreaterEqual(len(wiped[1]), longest)
        self.assertIsNone(SHOWN.search(running.said, wiped.end()))

    def test_nothing_is_shown_elsewhere(self):
        done = subprocess.run([PROGRAM, "export", BOB, "-o", self.path / "hairs.csv", "--hairs-count", "20000"], capture_output=True, text=True)
        self.assertEqual((done.returncode, done.stdout), (FINE, ""))
        self.assertNotIn("\r", done.stderr)
        self.assertNotIn("%", done.stderr)

    def test_work_that_needs_no_hair_at_rest_lets_none_fall(self):
        for words in [["predict", "--no-fall", BOB], ["export", BOB, "-o", self.path / "bust.glb", "--hair", "none", "--detail", "coarse"]]:
            running = Running(*words, "--hairs-count", 20000)
            self.assertEqual(running.finish(), FINE)
            self.assertEqual(running.said, "")


class Stopped(Place):
    def test_ctrl_c_stops_it_and_leaves_nothing(self):
        for command, name in [("picture", "bob.png"), ("export", "bob.glb"), ("predict", "bob.csv")]:
            with self.subTest(command=command):
                where = "--hairs" if command == "predict" else "-o"
                running = Running(command, BOB, where, self.path / name, "--hairs-count", 100000, "--threads", 1)
                running.until_it_shows()
                running.process.send_signal(signal.SIGINT)
                self.assertEqual(running.finish(), -signal.SIGINT) # died of it: a shell says 130, and stops its script
                stopped = re.search(r"\r {20,}\r.*stopped after (\d+) of 100000 hairs\n", running.said)
                self.assertLess(int(stopped[1]), 100000)
                self.assertEqual(list(self.path.iterdir()), [])

    def test_ctrl_c_stops_a_sheet_on_which_another_thread_works(self):
        for threads in [1, 2]:
            for _ in range(5): # on a busy machine it may be whole before the signal comes
                running = Running("sheet", BOB, "-o", self.path / "bob.pdf", "--threads", threads)
                running.until_it_shows()
                running.process.send_signal(signal.SIGINT)
                if running.finish() != FINE:
                    break
                (self.path / "bob.pdf").unlink()
            self.assertEqual(running.process.returncode, -signal.SIGINT)
            self.assertEqual(list(self.path.iterdir()), [])

    def test_a_second_one_does_no_harm(self):
        running = Running("export", BOB, "-o", self.path / "bob.glb", "--hairs-count", 100000, "--threads", 1)
        running.until_it_shows()
        for _ in range(2):
            running.process.send_signal(signal.SIGINT)
        self.assertEqual(running.finish(), -signal.SIGINT)
        self.assertEqual(list(self.path.iterdir()), [])

    def test_who_is_told_to_ignore_it_does(self):
        target = self.path / "bob.csv"
        running = Running("export", BOB, "-o", target, "--hairs-count", 20000,
                          preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_IGN))
        running.until_it_shows()
        running.process.send_signal(signal.SIGINT)
        self.assertEqual(running.finish(), FINE)
        self.assertEqual(len(target.read_text().splitlines()), 20001)

    def stop_while_it_writes(self, target, number):
        """The exit status; on a busy machine the file may be whole before the signal comes: then once more."""
        for _ in range(5):
            target.write_text("what was there\n")
            process = subprocess.Popen([PROGRAM, "export", BOB, "-o", target, "--hairs-count", "30000"], stderr=subprocess.DEVNULL, **NORMAL)
            while len(list(self.path.iterdir())) == 1 and process.poll() is None:
                time.sleep(.002)
            process.send_signal(number)
            if process.wait() != 0:
                break
        return process.returncode

    def test_a_file_that_is_half_written_goes(self):
        for number in [signal.SIGINT, signal.SIGTERM, signal.SIGHUP]:
            with self.subTest(signal=number.name):
                target = self.path / "bob.csv"
                self.assertEqual(self.stop_while_it_writes(target, number), -number)
                self.assertEqual(list(self.path.iterdir()), [target])
                self.assertEqual(target.read_text(), "what was there\n")


class Same(Place):
    def test_on_any_number_of_threads(self):
        made = []
        for threads in [1, 2]:
            target = self.path / f"{threads}.csv"
            subprocess.run([PROGRAM, "export", EXAMPLES / "increasing-layers.json", "-o", target, "--hairs-count", "5000",
                            "--threads", str(threads)], check=True, stderr=subprocess.DEVNULL)
            made.append(target.read_bytes())
        self.assertEqual(*made)

    def test_hairs_that_would_not_rest_are_counted(self):
        for plan in sorted(EXAMPLES.glob("*.json")):
            with self.subTest(plan=plan.name):
                done = subprocess.run([PROGRAM, "export", plan, "-o", self.path / "hairs.csv", "--hairs-count", "400"],
                                      capture_output=True, text=True)
                self.assertEqual((done.returncode, done.stdout), (FINE, ""))
                said = re.fullmatch(r"(?:lengthwise: (\d+) of 400 hairs did not come to rest\n  .*\n)?", done.stderr)
                self.assertTrue(0 < int(said[1] or 1) < 40)


if __name__ == "__main__":
    unittest.main(argv=sys.argv[:1])
