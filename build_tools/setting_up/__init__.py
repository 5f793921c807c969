"""Makes .venv and installs the locked requirements. Runs on a bare Python, standard library only.

Uses places and faults alone.
"""
