"""A planned job's pieces: what to take, promised, handed out and taken back; and the open jobs.

``job_kit`` says what a kit is; ``hold``, ``hand_out`` and ``take_back`` act on it.
"""
