"""Units at the gate, sourced values, datums, errors and the registry of published equations."""
