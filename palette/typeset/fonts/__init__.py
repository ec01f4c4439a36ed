"""Typefaces the guide is set in, under the SIL Open Font License: see the OFL-*.txt beside them.

Source Sans Pro for tables and labels (Latin, Greek, Cyrillic), Noto Sans for Hebrew and Arabic. The serif
of headings and running text, Libertinus Serif, comes with the typesetter. All files are unmodified.
"""
