"""A study in shares on a real Slurm, one of which is killed: the table is that of one machine, to the byte.

usage: slurm_study.py JOULEPRESS PLAN        as root; Debian's slurmctld, slurmd, slurm-client, munge
Brings up Slurm on this machine alone, in a folder of its own; what the system has of Slurm is left as it is.  The plan
wants some twenty members of a second each, so that a share can be killed between its first and its last.
"""

import contextlib
import os
import pathlib
import signal
import socket
import subprocess
import sys
import tempfile
import time

TASKS = 3
ROOT = pathlib.Path(__file__).resolve().parent.parent.parent


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def until(what, seconds, true):
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, f"no {what} within {seconds} s"
        time.sleep(0.02)


def configuration(home):
    host = socket.gethostname().split(".")[0]
    return f"""ClusterName=alone
SlurmctldHost={host}(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthType=auth/munge
AuthInfo=socket={home}/munge/socket
CredType=cred/munge
SlurmctldPort={free_port()}
SlurmdPort={free_port()}
StateSaveLocation={home}/state
SlurmdSpoolDir={home}/spool
SlurmctldPidFile={home}/slurmctld.pid
SlurmdPidFile={home}/slurmd.pid
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
JobAcctGatherType=jobacct_gather/none
SchedulerType=sched/builtin
SchedulerParameters=sched_min_interval=0
MpiDefault=none
ReturnToService=2
SlurmdParameters=config_overrides
NodeName={host} NodeAddr=127.0.0.1 CPUs=2
PartitionName=all Nodes=ALL Default=YES State=UP
"""


@contextlib.contextmanager
def slurm(home):
    """Its environment, while it is up."""
    for name in ("munge", "state", "spool"):
        (home / name).mkdir()
    home.chmod(0o755)  # munge distrusts what others may write to
    key = home / "munge" / "key"
    key.write_bytes(os.urandom(128))
    key.chmod(0o400)
    (home / "slurm.conf").write_text(configuration(home))
    env = {**os.environ, "SLURM_CONF": str(home / "slurm.conf")}
    daemons = []

    def start(name, *command):
        log = open(home / f"{name}.log", "wb")
        daemons.append(subprocess.Popen(command, env=env, stdout=log, stderr=log))

    def up():
        states = subprocess.run(["sinfo", "--noheader", "--format=%T"], env=env, capture_output=True, text=True)
        return states.stdout.strip() == "idle"

    try:
        start("munged", "/usr/sbin/munged", "--foreground", "--force", f"--key-file={key}",
              f"--socket={home}/munge/socket", f"--pid-file={home}/munge/pid", f"--seed-file={home}/munge/seed")
        until("munge", 10, (home / "munge" / "socket").exists)
        start("slurmctld", "/usr/sbin/slurmctld", "-D", "-c")
        start("slurmd", "/usr/sbin/slurmd", "-D", "-c")
        until("Slurm", 30, up)
        yield env
    except BaseException:
        for log in sorted(home.glob("*.log")):
            print(f"-- {log.name}\n{log.read_text(errors='replace')[-3000:]}", file=sys.stderr)
        raise
    finally:
        if len(daemons) == 3:
            subprocess.run(["scancel", "--user=root"], env=env, capture_output=True)
            time.sleep(0.5)
        for daemon in reversed(daemons):
            daemon.terminate()
            try:
                daemon.wait(20)
            except subprocess.TimeoutExpired:
                daemon.kill()
                daemon.wait()


def worker_of(share, out):
    """Number of the process that works on a share; none yet."""
    for entry in pathlib.Path("/proc").iterdir():
        if not entry.name.isdigit():
            continue
        try:
            words = (entry / "cmdline").read_bytes().decode(errors="replace").split("\0")
        except OSError:  # it has ended
            continue
        if share in words and str(out) in words and "--share" in words:
            return int(entry.name)
    return None


def ended(out):
    """What tells whether a member was written again."""
    found = {}
    for path in out.glob("members/*/outcome.json"):
        stat = path.stat()
        found[path.parent.name] = (stat.st_ino, stat.st_mtime_ns)
    return found


def unchanged(before, after):
    again = [name for name in before if after.get(name) != before[name]]
    assert not again, f"run twice: {again}"


def main():
    program, plan = (str(pathlib.Path(word).resolve()) for word in sys.argv[1:3])
    with tempfile.TemporaryDirectory() as scratch:
        scratch = pathlib.Path(scratch)
        alone, out = scratch / "alone", scratch / "shared"
        done = subprocess.run([program, "vary", plan, "--out", str(alone), "--quiet"], stdout=subprocess.DEVNULL)
        assert done.returncode in (0, 3), done.returncode
        table = (alone / "table.csv").read_bytes()
        home = scratch / "slurm"
        home.mkdir()
        with slurm(home) as env:
            env["JOULEPRESS"] = program
            submit = [str(ROOT / "tools" / "slurm-vary"), plan, "--out", str(out), "--tasks", str(TASKS)]

            first = subprocess.Popen([*submit, "--wait"], env=env)
            until("member of the share to be killed", 120,
                  lambda: worker_of(f"2/{TASKS}", out) and len(ended(out)) >= 2)
            victim = worker_of(f"2/{TASKS}", out)
            assert victim, "the share ended before it could be killed; a longer plan is wanted"
            os.kill(victim, signal.SIGKILL)
            assert first.wait(300) == 1
            assert not (out / "table.csv").exists(), "merged although a share was lost"
            kept = ended(out)
            members = ended(alone)
            assert 2 <= len(kept) < len(members), (len(kept), len(members))

            begun = time.monotonic()
            assert subprocess.run([*submit, "--wait"], env=env, timeout=600).returncode == 0
            took = time.monotonic() - begun
            whole = ended(out)
            assert whole.keys() == members.keys(), sorted(whole.keys() ^ members.keys())
            unchanged(kept, whole)
            assert (out / "table.csv").read_bytes() == table, "the table is not that of one machine"

            assert subprocess.run([*submit, "--wait"], env=env, timeout=600).returncode == 0
            unchanged(whole, ended(out))
        print(f"{len(members)} members in {TASKS} shares, one killed: {len(kept)} kept, {len(members) - len(kept)} "
              f"run by the second submission in {took:.1f} s, none twice, the same table")


if __name__ == "__main__":
    main()
