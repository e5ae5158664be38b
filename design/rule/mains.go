package rule

// judgeMains judges the mains side of the set.
func judgeMains(b *bench) {}
