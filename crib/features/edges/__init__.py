"""What a matched set cuts from a plate's edge or corner: ``notch``, ``vee`` and ``corner``.

``set_features`` is what they share.
"""
