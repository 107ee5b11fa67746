"""The whole cut plan: price breaks, the plain ways of buying beside it, common plans of jobs, figures."""
