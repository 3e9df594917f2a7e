"""Years of history for measuring: the rental that the demo played to its end, copied in the database and moved back.

A copy has its own customer and its own row wherever the first has one: walk-rounds, answers, photos, statement, record,
dispute, payments, jobs. Units and branches are copied too. Photos and records share the files of the first, and the
Ledger knows nothing of copies: verify_ledger is for what was played. Never for an installation that someone works with.
"""
