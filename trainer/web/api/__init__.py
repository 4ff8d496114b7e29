"""For other programs: the JSON service, the page that explains it, and access codes.

`description/` is the law: addresses, purposes and shapes stand there once. Requests are held
against those very lines, and the page that explains them is written from them.
"""
