"""Who may ask, and what every answer carries: headers, hosts, origin, pairing, people.

Each rule is a function from the request's head to a refusal or None; `gate.py` asks them in order.
"""
