"""The trade's rules and arithmetic: pure functions over frozen values, no Qt, no database, no clock."""
