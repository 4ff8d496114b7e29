"""Family and seed to an item: item models, clients, wording, the audit."""
