"""Time and memory of this process and of its children."""

import os
import resource
import subprocess
import sys
import tempfile
import time


def peak_kb():
    """Peak memory of this process, kB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def timed(command):
    """Runs a command: wall time and CPU time in s, peak memory in kB, what it printed."""
    with tempfile.TemporaryFile() as printed, tempfile.TemporaryFile() as said:
        start = time.perf_counter()
        child = subprocess.Popen([str(word) for word in command], stdout=printed, stderr=said)
        # Of this child alone; RUSAGE_CHILDREN would keep the peak of an earlier one.
        _, status, usage = os.wait4(child.pid, 0)
        wall = time.perf_counter() - start
        child.returncode = os.waitstatus_to_exitcode(status)
        for file in (printed, said):
            file.seek(0)
        if child.returncode != 0:
            words = " ".join(map(str, command))
            sys.exit(f"bench: {words} ended with {child.returncode}: {said.read().decode(errors='replace')[-2000:]}")
        cpu = usage.ru_utime + usage.ru_stime
        return {"wall": wall, "cpu": cpu, "peak_kb": usage.ru_maxrss, "printed": printed.read().decode()}
