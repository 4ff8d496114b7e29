"""How answers fall, question by question."""
