"""The whole cut plan: price breaks, the plain ways of buying beside it, cut lists, common plans of jobs, figures."""
