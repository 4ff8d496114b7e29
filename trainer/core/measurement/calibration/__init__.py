"""Parameters of families from responses: marginal maximum likelihood, its errors and its fit."""
