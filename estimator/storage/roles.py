"""The roles a key may have; what each may do is the API's affair."""

ROLES = ("crm", "estimator", "purchasing", "pricing", "admin")
