"""Views of a card: text and others. They decide nothing."""
