"""The shop's own settings, each with its default, tag and limits; and its working days.

``shop_rules`` lists them.
"""
