"""Part files: DXF, the open NC format and lists, to parts with what is cut into them.

``dxf``, ``nc1`` and ``part_list`` are the readers; ``parts`` is what each of them gives.
"""
