"""Kills a run at random instants and lets it go on: every file but timing.json must be the same bytes.

usage: killed_and_resumed.py JOULEPRESS CASE KILLS [SEED]
The last kill is an interrupt (SIGINT), which must leave with 130 and a checkpoint.
"""

import pathlib
import random
import signal
import subprocess
import sys
import tempfile
import time


def files_of(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.name != "timing.json"
    }


def start(program, case, folder, *more):
    return subprocess.Popen(
        [program, "run", case, "--out", str(folder), "--quiet", *more], stdout=subprocess.PIPE, text=True
    )


def main():
    program, case, kills = sys.argv[1], sys.argv[2], int(sys.argv[3])
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else random.randrange(10**6)
    print(f"seed {seed}")
    chance = random.Random(seed)
    with tempfile.TemporaryDirectory() as scratch:
        whole = pathlib.Path(scratch) / "whole"
        begun = time.monotonic()
        run = start(program, case, whole)
        run.communicate()
        assert run.returncode == 0, run.returncode
        took = time.monotonic() - begun
        expected = files_of(whole)
        assert "summary.json" in expected and not any("checkpoint" in name for name in expected)
        went_on = 0
        for k in range(kills):
            folder = pathlib.Path(scratch) / f"killed-{k}"
            interrupt = k == kills - 1
            run = start(program, case, folder)
            time.sleep(chance.uniform(0.3 if interrupt else 0.0, 0.9) * took)
            run.send_signal(signal.SIGINT if interrupt else signal.SIGKILL)
            run.communicate()
            if interrupt and run.returncode != 0:  # it may have ended by itself
                assert run.returncode == 130, run.returncode
                assert (folder / "checkpoint.h5").exists()
            rest = start(program, case, folder, "--resume")
            said, _ = rest.communicate()
            assert rest.returncode == 0, rest.returncode
            went_on += "Goes on from" in said
            found = files_of(folder)
            assert found.keys() == expected.keys(), sorted(found.keys() ^ expected.keys())
            differing = [name for name in expected if found[name] != expected[name]]
            assert not differing, (k, differing)
        print(f"{kills} kills within {took:.1f} s, {went_on} went on from a checkpoint, all files the same")
        assert went_on > 0, "no run had come to its first checkpoint"


if __name__ == "__main__":
    main()
