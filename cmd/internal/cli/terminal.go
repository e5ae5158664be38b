package cli

import (
	"io"
	"os"

	"mutewright/render/report"
)

// text is where a verb writes what people read: with colour where that is shown
// at once on a terminal.
func (c *call) text() io.Writer {
	if c.options.output == "" && showsColour(c.stdout) {
		return report.Colours{Writer: &c.out}
	}
	return &c.out
}

// showsColour tells whether w is a terminal whose owner has not said NO_COLOR.
func showsColour(w io.Writer) bool {
	f, isFile := w.(*os.File)
	if !isFile || os.Getenv("NO_COLOR") != "" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
