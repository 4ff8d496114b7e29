"""A made-up cohort whose true abilities are known: it walks the real paths, so claims are measured.

`truth`: what is really so of families. `learners`: how people answer, learn, forget, guess and
hold wrong ideas. `path`: practice and sittings through the use cases. `kept`: practice put straight
where it is kept, for many people. `measures`: what came of it.
"""
