package cli

import (
	"embed"
	"fmt"
	"strings"
)

//go:embed licences/*.txt
var licenceTexts embed.FS

// A licence is the text under which something in the program comes.
type licence struct {
	of   []string // modules, or what else it covers
	name string
	file string // below licences
}

// licences cover every module and font in the program. Two further modules
// share the text of the Go project.
var licences = []licence{
	{[]string{"Go standard library", "golang.org/x/image", "golang.org/x/text"}, "BSD, three clauses", "go"},
	{[]string{"Go fonts (regular, bold, italic, mono)"}, "BSD, three clauses", "go-fonts"},
	{[]string{"github.com/spf13/pflag"}, "BSD, three clauses", "pflag"},
	{[]string{"github.com/jung-kurt/gofpdf"}, "MIT", "gofpdf"},
	{[]string{"gopkg.in/yaml.v3"}, "MIT and Apache 2.0", "yaml"},
}

// licences prints the licence of everything that is in the program.
func (c *call) licences() error {
	for i, l := range licences {
		text, err := licenceTexts.ReadFile("licences/" + l.file + ".txt")
		if err != nil {
			return fmt.Errorf("read the licence of %s: %w", l.of[0], err)
		}
		if i > 0 {
			fmt.Fprintln(&c.out)
		}
		fmt.Fprintf(&c.out, "%s: %s\n\n%s\n", strings.Join(l.of, ", "), l.name, strings.TrimSpace(string(text)))
	}
	return nil
}
