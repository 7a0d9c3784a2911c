"""Kills studies at random instants and asks again: no member is run twice, and every file is the same bytes.

usage: killed_study.py JOULEPRESS PLANS [SEED]
PLANS holds small-stack.yaml and small-walls.yaml.  The same bytes are wanted of shares and of any number of threads.
"""

import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time

KILLS = 4


def start(program, words, out, *more):
    return subprocess.Popen(
        [program, *words, "--out", str(out), "--quiet", *more], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )


def whole(program, words, out, *more):
    """Runs to its end; what it said."""
    run = start(program, words, out, *more)
    said, complaints = run.communicate()
    assert run.returncode == 0, (run.returncode, complaints)
    return said


def files_of(out):
    """A process that was killed leaves a NAME.PID-RANDOM.part, which means nothing."""
    return {
        str(path.relative_to(out)): path.read_bytes()
        for path in sorted(out.rglob("*"))
        if path.is_file() and path.suffix != ".part"
    }


def ended(out):
    """What tells whether a member was written again."""
    found = {}
    for path in out.glob("members/*/outcome.json"):
        stat = path.stat()
        found[path.parent.name] = (stat.st_ino, stat.st_mtime_ns)
    return found


def check_same(found, expected):
    assert found.keys() == expected.keys(), sorted(found.keys() ^ expected.keys())
    differing = [name for name in expected if found[name] != expected[name]]
    assert not differing, differing


def check_kept(before, after):
    again = [name for name in before if after.get(name) != before[name]]
    assert not again, f"run twice: {again}"


def wait_for(run, out, count):
    """Until so many members have ended, or the run has."""
    while run.poll() is None and len(ended(out)) < count:
        time.sleep(0.002)


def killed(program, words, out, members, chance):
    """Members that had ended at each kill: first within the whole study, then within what is left of it."""
    kept = []
    for _ in range(KILLS):
        before = ended(out)
        run = start(program, words, out)
        wait_for(run, out, chance.randint(len(before), max(len(before), members - 3)))
        time.sleep(chance.uniform(0.0, 0.1))
        run.send_signal(signal.SIGKILL)
        run.communicate()
        if run.returncode == 0:  # it was faster
            break
        assert run.returncode == -signal.SIGKILL, run.returncode
        check_kept(before, ended(out))
        kept.append(len(ended(out)))
    before = ended(out)
    whole(program, words, out)
    check_kept(before, ended(out))
    return kept


def study(program, words, tables, scratch, chance):
    begun = time.monotonic()
    alone = scratch / "alone"
    said = whole(program, words, alone, "--threads", "2")
    took = time.monotonic() - begun
    expected = files_of(alone)
    assert tables <= expected.keys(), sorted(expected)
    members = ended(alone)

    out = scratch / "killed"
    kept = killed(program, words, out, len(members), chance)
    check_same(files_of(out), expected)
    assert any(0 < count < len(members) for count in kept), f"no kill fell between the first and the last: {kept}"

    before = ended(out)
    whole(program, words, out)  # nothing is left to do
    assert ended(out) == before
    check_same(files_of(out), expected)

    shared = scratch / "shared"
    whole(program, words, shared, "--share", "2/2")
    assert not tables & files_of(shared).keys(), "tables although a share is missing"
    last = whole(program, words, shared, "--share", "1/2")
    check_same(files_of(shared), expected)
    assert last.split("\n\n", 1)[1].replace(str(shared), str(alone)) == said.split("\n\n", 1)[1]

    single = scratch / "single"
    whole(program, words, single, "--threads", "1")
    check_same(files_of(single), expected)
    print(f"{words[0]}: {len(members)} members within {took:.1f} s, killed when {kept} had ended, none run twice, all "
          f"{len(expected)} files the same; so are those of two shares and of one thread")


def main():
    program, plans = sys.argv[1], pathlib.Path(sys.argv[2])
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else random.randrange(10**6)
    print(f"seed {seed}")
    chance = random.Random(seed)
    begun = time.monotonic()
    for words, tables in (
        (["vary", str(plans / "small-walls.yaml")], {"table.csv", "table.h5", "vary.json"}),
        (["bound", str(plans / "small-stack.yaml"), "--samples", "16"], {"bound.json", "samples.csv"}),
    ):
        with tempfile.TemporaryDirectory() as scratch:
            study(program, words, tables, pathlib.Path(scratch), chance)
    print(f"{time.monotonic() - begun:.0f} s")


if __name__ == "__main__":
    main()
