package design

// Reads tells whether a kind of finding looks at results.
func Reads(id string) bool { return len(reads[id]) > 0 }
