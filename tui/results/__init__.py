"""The pages of the results: what is marked, cut, bought, mixed and done, each made only while shown."""
