"""What is cut off or pointed: ``cut`` at a shear, and ``point``, a picket's end, whole in one file.

``read_cut`` reads a section, ``judge_cut`` and ``judge_tube_set`` judge by a ``CutCase``,
``cut_workarounds`` and ``blade_order`` help.
"""
