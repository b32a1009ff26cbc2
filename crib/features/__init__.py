"""What a drawing can ask for: one file for each kind of feature, found by ``registry``.

``read_phrase`` and ``read_ask`` turn words into an ask; what its kind answers is ``ask.answers``.
"""
