"""From the ratings of a panel to a cut: agreement, standard error, impact, equating."""
