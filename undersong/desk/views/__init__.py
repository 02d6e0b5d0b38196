"""What the page is given: plain values for JSON, made of ours; one module a view."""
