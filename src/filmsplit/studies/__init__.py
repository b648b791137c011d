"""what happens if: a question put to a train, and everything its answer rests on"""
