"""What is printed: pictures, charts, sheets, lists, labels, orders, templates; and calendar files.

``pictures`` and ``shop_paper`` are what the others are put together from.
"""
