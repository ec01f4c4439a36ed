"""The same work in a browser, on this machine only: thin pages over the rooms below.

`server` listens on 127.0.0.1, `safety` keeps everybody else out, `works` computes beside the pages,
`bench` is a kit that lies open, and `pages` has one file a page.
"""
