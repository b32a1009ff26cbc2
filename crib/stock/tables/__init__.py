"""The crib's tables, declared once with their limits: the one place that names a column.

Heavy to import; only ``words``, the closed lists, is light.
"""
