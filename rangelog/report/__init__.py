"""The coach's page: collected once, written as plain text and as one HTML file with the same numbers."""
