"""What is handed over: the record of a job, and its labels with their square codes.

Pure but for the two commands, ``report`` and ``label_command``.
"""
