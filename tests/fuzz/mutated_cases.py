"""Breaks shipped and bad cases at random and checks them: `check` accepts or refuses, it never crashes or hangs.

usage: mutated_cases.py JOULEPRESS SOURCES COUNT [SEED]
A case that ends otherwise stays in the working folder as broken-N.yaml.
"""

import pathlib
import random
import re
import shutil
import subprocess
import sys
import tempfile

VALUES = ["0", "-1", "1e9", "nan", "x", "mm", "~", "{}", "[]", "0 mm", "1e-9 mm", "20 mm", "powder", "die", "5 min"]


def broken(text, chance):
    """One mistake: a word lost, replaced or swapped, a line lost or doubled, a character typed wrong."""
    words = list(re.finditer(r"[^\s,{}\[\]:]+", text))
    lines = text.split("\n")
    if not words:
        return text
    word, other = chance.choice(words), chance.choice(words)
    at = chance.randrange(len(text))
    line = chance.randrange(len(lines))
    return chance.choice(
        [
            lambda: text[: word.start()] + text[word.end() :],
            lambda: text[: word.start()] + chance.choice(VALUES) + text[word.end() :],
            lambda: text[: word.start()] + other.group() + text[word.end() :],
            lambda: "\n".join(lines[:line] + lines[line + 1 :]),
            lambda: "\n".join(lines[: line + 1] + lines[line:]),
            lambda: text[:at] + chance.choice("{}[],:\"' -0\t") + text[at + 1 :],
        ]
    )()


def main():
    program, sources, count = sys.argv[1], pathlib.Path(sys.argv[2]), int(sys.argv[3])
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else random.randrange(10**6)
    print(f"seed {seed}")
    chance = random.Random(seed)
    keys = sources / "tests" / "all_keys"
    good = [path.read_text() for path in sorted([*sources.glob("cases/*.yaml"), *keys.glob("case*.yaml")])]
    bad = [path.read_text() for path in sorted(sources.glob("tests/bad_input/*.yaml"))]
    wrong = accepted = 0
    with tempfile.TemporaryDirectory() as scratch:
        for name in ("tools.yaml", "graphite-of-a-lot.yaml"):
            shutil.copy(keys / name, scratch)
        case = pathlib.Path(scratch) / "case.yaml"
        for k in range(count):
            text = chance.choice(chance.choice([good, bad]))
            for _ in range(chance.randint(1, 3)):
                text = broken(text, chance)
            case.write_text(text)
            try:
                code = subprocess.run([program, "check", str(case)], capture_output=True, timeout=60).returncode
            except subprocess.TimeoutExpired:
                code = "no end within 60 s"
            accepted += code == 0
            if code not in (0, 2):
                wrong += 1
                shutil.copy(case, f"broken-{k}.yaml")
                print(f"broken-{k}.yaml: {code}")
    print(f"{count} broken cases: {accepted} accepted, {count - accepted - wrong} refused, {wrong} ended otherwise")
    assert 0 < accepted < count
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
