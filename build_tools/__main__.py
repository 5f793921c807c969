"""The command `python3 -m build_tools`.

No `from __future__` line and no newer syntax here: an old Python must get as far as the sentence below.
"""

import sys

OLDEST = (3, 11)


def begin():  # type: () -> int
    """Refuse an old Python in one line, else hand over to the verbs."""
    if sys.version_info[:2] < OLDEST:
        found = ".".join(str(part) for part in sys.version_info[:3])
        print("This Python is %s; the handbook needs 3.11 or newer." % found)  # noqa: UP031 - read by old Pythons
        print("  fix: install Python 3.11 or newer and start with it, for example python3.12 -m build_tools")
        return 1
    from build_tools.commands.verbs import main

    return main(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(begin())
