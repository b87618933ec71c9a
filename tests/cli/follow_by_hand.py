"""The planner's own process with a planner made by hand; takes the words of ``plan-follow``."""

import sys
from pathlib import Path

from bayapp.cli.plan.follow import Follower
from bayapp.cli.plan.requests import Requests
from bayapp.cli.trouble import complain
from tests.cli.hand_planner import HandPlanner

if __name__ == "__main__":
    store = Path(sys.argv[2].removeprefix("--store="))
    Follower(HandPlanner(), store, Requests(sys.stdin.fileno(), complain), sys.stdout.fileno()).run()
