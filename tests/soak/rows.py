"""The campaign of faults: one row for each, with what causes it for real and what must then hold."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Row:
    """One fault.

    Attributes:
        fault: what is done to bayapp.
        tests: the tests that do it, by file or by name; all of their cases run, the slow ones too.
        sample: those of which a short campaign runs the quick cases; none where that would take too long.
        numbers: environment variables that say how often, for an hour; a shorter campaign has its share of each.
        program: a module of ``tests`` to run instead, and the word that says how much, for an hour.
        program_sample: the same word for a short campaign.
    """

    fault: str
    tests: tuple[str, ...] = ()
    sample: tuple[str, ...] = ()
    numbers: dict[str, int] = field(default_factory=dict)
    program: tuple[str, int] | None = None
    program_sample: int = 0


KILLS = "tests/record/test_kill.py::test_nothing_shown_as_accepted_is_lost_when_the_process_is_killed"
PLANNER = "tests/screen/processes/test_planner_process.py"
SOUND = "tests/alerts/test_player_real_sound.py"
BOARD = "tests/screen/whole_program"

ROWS = (
    Row(
        "planner stopped, hung, talking nonsense, failing",
        (PLANNER, f"{BOARD}/test_planner_of_the_board.py"),
        (f"{PLANNER}::test_a_planner_that_says_nothing_but_nonsense_is_ended",),
    ),
    Row(
        "search stopped, killed, eating memory",
        ("tests/cli/plan/test_forked.py",),
        ("tests/cli/plan/test_forked.py::test_a_child_that_takes_ever_more_memory_is_refused_it",),
    ),
    Row(
        "sound server killed, standing still, restarted, late",
        (f"{SOUND}", "tests/alerts/test_player_process.py"),
        (f"{SOUND}::test_a_made_up_device_is_no_sound_and_a_killed_server_is_noticed_while_nothing_plays",),
    ),
    Row(
        "loudspeaker muted, at zero, made up",
        (f"{BOARD}/test_sound_of_the_board.py",),
        (f"{SOUND}::test_a_loudspeaker_that_gives_no_sound_is_noticed_while_nothing_plays_and_still_played_to",),
    ),
    Row("killed at a touch, a copy, a restore, a paper", (KILLS,), (KILLS,), {"BAY_SOAK_KILLS": 225}),
    Row("killed in a migration", ("tests/record/test_migration_kill.py",)),
    Row("the whole board killed again and again", (f"{BOARD}/test_kill.py",)),
    Row(
        "disk full, failing, pulled; store of another version",
        ("tests/record/test_words.py",),
        ("tests/record/test_words.py",),
    ),
    Row("a start that fails", (f"{BOARD}/test_failing_starts.py",)),
    Row("two writers", ("tests/record/test_writer_lock.py",), ("tests/record/test_writer_lock.py",)),
    Row(
        "store moved away, replaced, put back, written back",
        ("tests/record/test_open_files.py", "tests/screen/window/test_store_watch.py"),
        ("tests/record/test_open_files.py",),
    ),
    Row(
        "store cut, flipped, older than its witness",
        (
            *("tests/record/test_chain.py", "tests/record/test_witness.py", "tests/record/test_integrity.py"),
            "tests/cli/test_verify.py",
        ),
        ("tests/record/test_witness.py",),
    ),
    Row(
        "two hundred stores damaged by pages, bytes, files",
        ("tests/record/test_damaged_stores.py", "tests/record/test_mending.py"),
        ("tests/record/test_damaged_stores.py",),
    ),
    Row(
        "bombs, pipes and folders without end among the files",
        ("tests/files/test_bounds.py", "tests/files/test_any_damage.py"),
        ("tests/files/test_bounds.py::test_what_is_no_plain_file_is_refused_with_a_word_and_never_waited_for",),
    ),
    Row("importers fuzzed", ("tests/packaging/test_fuzz.py",)),
    Row(
        "floods of sensors and of a scanner",
        ("tests/sensing/test_inbox.py", "tests/screen/input/test_scanner.py"),
        ("tests/sensing/test_inbox.py",),
    ),
    Row(
        "clock stepped, machine started anew",
        (
            *("tests/test_clock.py", "tests/bay/test_clock_watch.py"),
            *("tests/bay/test_time_across_boots.py", "tests/bay/test_real_boots.py"),
        ),
        ("tests/test_clock.py", "tests/bay/test_real_boots.py"),
    ),
    Row("no network touched", (f"{BOARD}/test_no_network.py",)),
    Row(
        "copies, their places and leftovers",
        (
            "tests/record/test_backup.py",
            "tests/record/test_kept_backups.py",
            "tests/cli/test_backup_places.py",
            "tests/files/shop/test_backup_places.py",
            "tests/screen/processes/test_backup_runner.py",
        ),
        ("tests/files/shop/test_backup_places.py",),
    ),
    Row(
        "others on the machine",
        ("tests/test_private_files.py", "tests/files/shop/test_passwords.py"),
        ("tests/test_private_files.py",),
    ),
    Row("twelve hours of six cars", program=("tests.soak.long_day", 720), program_sample=25),
    Row("ten thousand calls, all cores busy", program=("tests.soak.many_alerts", 10_000), program_sample=50),
)
