"""The rules of a spike's history: what may follow what, what it adds up to, the chain of hashes."""
