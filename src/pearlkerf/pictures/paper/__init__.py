"""The paper template and drawings of the layout."""
