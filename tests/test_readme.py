"""What README.md shows in a console is what the program prints: each `$ command` runs, and the lines below it stand in its
output, a line of three dots leaving some out.

usage: test_readme.py README PROGRAM [--renew]     --renew writes today's output in place of what is there
"""
import os
import pathlib
import re
import subprocess
import sys

readme, program = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2]).resolve()
renew = "--renew" in sys.argv
environment = os.environ | {"PATH": f"{program.parent}:{os.environ['PATH']}"}
faults, ran = [], 0


def output_of(command):
    global ran
    ran += 1
    done = subprocess.run(command, shell=True, cwd=readme.resolve().parent, env=environment, capture_output=True, text=True)
    if done.returncode != 0:
        faults.append(f"$ {command}\nexited {done.returncode}: {done.stderr}")
    return done.stdout.splitlines()


def today(command, shown):
    """The shown lines as they read in today's output; a run of lines is found by its first."""
    output, lines, at = output_of(command), [], None
    for line in shown:
        if line == "...":
            at = None
            lines.append(line)
            continue
        if at is None:
            if line not in output:
                faults.append(f"$ {command}\nno longer prints: {line}")
                return shown
            at = output.index(line)
        lines.append(output[at] if at < len(output) else "")
        at += 1
    return lines


def block(match):
    parts = re.split(r"^\$ (.*)\n", match[1], flags=re.M)[1:]
    text = ""
    for command, body in zip(parts[::2], parts[1::2]):
        shown = body.splitlines()
        lines = today(command, shown)
        if not renew:
            faults.extend(f"$ {command}\nshown:  {a}\nprints: {b}" for a, b in zip(shown, lines) if a != b)
        text += f"$ {command}\n" + "".join(line + "\n" for line in lines)
    return f"```console\n{text}```"


text = readme.read_text()
fresh = re.sub(r"```console\n(.*?)```", block, text, flags=re.S)
if renew and not faults:
    readme.write_text(fresh)
print("\n".join(faults + [f"{ran} commands, {len(faults)} faults"]))
sys.exit(bool(faults) or ran == 0)
