"""The record: an append-only ledger in SQLite, its projections, people, orders and stock.

Begin at ``opening``. The ways through the room:

* writing: ``ledger`` -> ``codec``, ``identities``, ``entry`` -> ``projections``; the locks are ``guards``;
* trusting: ``verify`` -> ``chain``, ``diagnosis``, ``agreement``; ``seals``, ``head`` and ``keys`` lie
  outside the database;
* SQL: declared in ``schema`` and ``statements``, turned into the text of ``prepared`` by ``prepare``, so
  that the daily path loads no SQL library; ``migrate`` and ``search`` do.
"""
