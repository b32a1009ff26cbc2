"""The end of a pipe or tube cut to sit on another: ``saddle``, and its template ``wrap_template``.

``pipe_named``, ``tube_named`` and ``by_measure`` tell a pipe's name from its size; ``judge_saddle``
judges by a ``SaddleCase``, which holds the ``SaddleJoint``.
"""
