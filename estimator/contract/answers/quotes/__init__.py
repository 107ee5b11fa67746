"""What is answered about quotes: a quote itself, differences of revisions, workbooks that came back, re-pricings."""
