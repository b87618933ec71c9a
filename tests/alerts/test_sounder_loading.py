"""The sound process runs all day beside the board: it loads what it plays with, not the rules of the house."""

import subprocess
import sys

LOOK = """
import sys
import bayapp.alerts.sounder
print(sorted({n.split('.')[0] for n in sys.modules} & {'pydantic', 'sqlalchemy', 'numpy'}))
print([n for n in sys.modules if n.startswith('bayapp.') and not n.startswith('bayapp.alerts')])
"""


def test_the_sound_process_loads_no_rule_and_no_sentence():
    done = subprocess.run([sys.executable, "-c", LOOK], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines() == ["['numpy']", "[]"]
