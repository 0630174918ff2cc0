"""The rules, one family a file: generators that look at a visit and yield findings."""
