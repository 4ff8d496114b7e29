"""Lines of reasoning, one a module: a case in, a draft with its computed answer out."""
