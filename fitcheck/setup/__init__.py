"""How the parts go together: press fits, bearing setting and shims, oil."""
