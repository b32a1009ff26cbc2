"""Tables as CSV and XLSX, both ways: what columns there are, how a cell reads, the template.

``sheets`` reads, ``sheets_out`` writes.
"""
