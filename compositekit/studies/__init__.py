"""One module per decision: a part and a catalogue go in, a result object comes out.

Every study function is named like its page and returns a frozen result with ``checks`` (findings.Check),
``working`` (findings.Step) and ``rests_on`` (the part-file paths its numbers depend on).
"""
