"""Numbers only: response models, ability, what to practise next, forms and decisions."""
