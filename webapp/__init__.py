"""The pages and the JSON API: parse, call, render."""
