"""Compiles the faults of faults.yaml in one at a time; each must turn a test red.

usage: run.py SOURCES SCRATCH [WORD]     only the faults whose name holds WORD
The sources are copied to SCRATCH, so that nothing in the tree changes.  Fast tests first, the full ones only when
they stay green.  Exit code 1 when a fault stays green or cannot be put in.
"""

import pathlib
import shutil
import subprocess
import sys
import time

import yaml


def quietly(*words, cwd=None):
    return subprocess.run(words, cwd=cwd, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)


def red_tests(build, label):
    said = quietly("ctest", "--test-dir", str(build), "-L", label, "-j", "2").stdout
    return [line.split(" - ")[1].split()[0] for line in said.splitlines() if "(Failed)" in line or "(Timeout)" in line]


def renew(source, target):
    """Copies what differs, with the time of now: an older time would hide from the build what a fault left behind."""
    source, target = pathlib.Path(source), pathlib.Path(target)
    if not target.exists() or target.read_bytes() != source.read_bytes():
        shutil.copy(source, target)
    return str(target)


def copy(sources, tree):
    for folder in ("cases", "docs", "materials", "mesh", "solver", "tests", "tools", ".ci"):
        if (sources / folder).exists():
            shutil.copytree(sources / folder, tree / folder, copy_function=renew, dirs_exist_ok=True)
    for file in [*sources.glob("*.md"), sources / "CMakeLists.txt"]:
        renew(file, tree / file.name)


def build(folder):
    return quietly("cmake", "--build", str(folder)).returncode == 0


def verdict_of(fault, tree, folder):
    file = tree / fault["file"]
    right = file.read_text()
    if right.count(fault["was"]) != 1:
        return "NOT PUT IN: the text stands there %d times" % right.count(fault["was"])
    file.write_text(right.replace(fault["was"], fault["is"]))
    try:
        if not build(folder):
            return "does not compile"
        red = red_tests(folder, "fast") or red_tests(folder, "full")
        return "red: " + ", ".join(red) if red else "GREEN: a check is missing"
    finally:
        file.write_text(right)


def main():
    sources, scratch = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    word = sys.argv[3] if len(sys.argv) > 3 else ""
    tree, folder = scratch / "tree", scratch / "build"
    tree.mkdir(parents=True, exist_ok=True)
    copy(sources, tree)
    faults = yaml.safe_load((sources / "tests/mutations/faults.yaml").read_text())
    configured = quietly("cmake", "-S", str(tree), "-B", str(folder), "-G", "Ninja")
    if configured.returncode != 0 or not build(folder) or red_tests(folder, "fast"):
        sys.exit("the tree without a fault does not build or is red already")
    missing = 0
    lines = ["| fault | file | verdict | s |", "| --- | --- | --- | ---: |"]
    print("\n".join(lines))
    for fault in faults:
        if word not in fault["fault"]:
            continue
        begun = time.monotonic()
        verdict = verdict_of(fault, tree, folder)
        missing += not (verdict.startswith("red") or verdict == "does not compile")
        lines.append(f"| {fault['fault']} | {fault['file']} | {verdict} | {time.monotonic() - begun:.0f} |")
        print(lines[-1], flush=True)
    (scratch / "faults.md").write_text("\n".join(lines) + "\n")
    sys.exit(1 if missing else 0)


if __name__ == "__main__":
    main()
