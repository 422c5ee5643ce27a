"""The linear and integer programming library lives here alone, with its guards."""
