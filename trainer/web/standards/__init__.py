"""Standards: panels that rate questions, and the cut adopted from them."""
