"""One writer per store, and the lock goes with its holder."""

import os
import signal
import subprocess
import sys

import pytest

from bayapp.record import StoreInUse, open_journal
from bayapp.record.writer_lock import WriterLock
from tests.record.test_kill import ROOT


def test_the_second_writer_is_told_who_holds_the_store(tmp_path):
    lock = WriterLock(tmp_path)
    with pytest.raises(StoreInUse, match=f"process {os.getpid()}"):
        WriterLock(tmp_path)
    lock.release()
    WriterLock(tmp_path).release()


def test_a_killed_holder_leaves_the_store_free(tmp_path):
    command = [sys.executable, "-m", "tests.record.kill_child", str(tmp_path), "1", "touches"]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE) as holder:
        assert holder.stdout is not None
        assert holder.stdout.readline() == b"open\n"
        with pytest.raises(StoreInUse, match=f"process {holder.pid}"):
            open_journal(tmp_path)
        holder.send_signal(signal.SIGKILL)
        holder.stdout.read()
    open_journal(tmp_path).close()


def test_a_child_started_with_exec_does_not_keep_the_store(tmp_path):
    journal = open_journal(tmp_path)
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as child:
        journal.close()
        open_journal(tmp_path).close()
        child.communicate(b"\n")
