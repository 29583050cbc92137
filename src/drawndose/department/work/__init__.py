"""The work of a shift: orders, containers, preparations, giving. State changes only together with its event."""
