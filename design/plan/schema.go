package plan

import "mutewright/design/document"

// Schema returns the JSON Schema (draft 2020-12) of a plan file, made from the
// tables that the reader goes by.
func Schema() ([]byte, error) {
	return document.Schema(new(Plan), "urn:mutewright:plan:1", "A plan of mutewright, version 1")
}
