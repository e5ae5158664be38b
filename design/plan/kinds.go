package plan

import (
	"mutewright/design/document"
	"mutewright/design/quantity"
)

// Short names for the slots that the tables of this package are made of.
type (
	Text                         = document.Value[string]
	Flag                         = document.Value[bool]
	Count                        = document.Value[int]
	Block                        = document.Source     // a struct with keys of its own
	Measure[Q quantity.Quantity] = document.Measure[Q] // a quantity with its doubt
	Word[W ~string]              = document.Value[W]   // one of some words
)
