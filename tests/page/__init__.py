"""The page at the window, asked as a browser and as a program asks it."""
