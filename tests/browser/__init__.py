"""The page in a real browser, served by a real server: touch, widths, light and dark, offline."""
