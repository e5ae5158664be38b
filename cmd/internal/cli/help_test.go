package cli_test

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/cmd/internal/cli"
)

// The test binary stands in for the program where a shell has to call it.
const asProgram = "MUTEWRIGHT_TEST_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		os.Exit(cli.Main(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
	}
	os.Exit(m.Run())
}

func TestAloneItSaysWhatItIsFor(t *testing.T) {
	status, out, stderr := run("")
	assert.Equal(t, 0, status)
	assert.Empty(t, stderr)
	for _, has := range []string{"muting interface", "mutewright new -o plan.yaml", "mutewright check plan.yaml", "mutewright sheet plan.yaml -o sheet.pdf", "certifies nothing"} {
		assert.Contains(t, out, has)
	}
	fitsATerminal(t, out)
}

// words takes a command line apart as a shell does: at spaces, unless they stand
// between quotes.
func words(line string) []string {
	var list []string
	for _, w := range regexp.MustCompile(`(?:[^\s"]|"[^"]*")+`).FindAllString(line, -1) {
		list = append(list, strings.ReplaceAll(w, `"`, ""))
	}
	return list
}

// unfold joins what a backslash breaks.
func unfold(help string) string { return regexp.MustCompile(` \\\n\s*`).ReplaceAllString(help, " ") }

// Every verb shows examples in its help, and each does what it shows.
func TestExamplesRun(t *testing.T) {
	if testing.Short() {
		t.Skip("works many plans out")
	}
	root, err := filepath.Abs(module)
	require.NoError(t, err)
	for _, verb := range strings.Fields("new check sheet diagram relays mains why compare catalog help") {
		_, help, _ := run("", "help", verb)
		fitsATerminal(t, help)
		examples := regexp.MustCompile(`(?m)^  (mutewright .*)$`).FindAllStringSubmatch(unfold(help), -1)
		assert.GreaterOrEqual(t, len(examples), 2, verb)
		for _, e := range examples {
			t.Run(e[1], func(t *testing.T) {
				t.Chdir(t.TempDir())
				for name, from := range map[string]string{"plan.yaml": "larkmoor-seven", "before.yaml": "fenwick-six"} {
					data, err := os.ReadFile(filepath.Join(root, "testdata", "plans", "sound", from+".yaml"))
					require.NoError(t, err)
					require.NoError(t, os.WriteFile(name, data, 0o644))
				}
				args := words(e[1])
				status, out, stderr := run("", args[1:]...)
				assert.Equal(t, 0, status, stderr)
				assert.Empty(t, stderr)
				if i := strings.Index(e[1], " -o "); i >= 0 {
					file := strings.Fields(e[1][i+4:])[0]
					written, err := os.ReadFile(file)
					assert.NoError(t, err)
					assert.NotEmpty(t, written)
					assert.Empty(t, out)
					return
				}
				assert.NotEmpty(t, out)
			})
		}
	}
}

func TestHelpFitsATerminal(t *testing.T) {
	for _, args := range [][]string{{"help"}, {"help", "--words"}} {
		_, out, _ := run("", args...)
		fitsATerminal(t, out)
	}
}

// The man page has the sections of one, names every verb and option, and groff has
// nothing to say against it where it is installed.
func TestManPage(t *testing.T) {
	status, page, stderr := run("", "help", "--man")
	require.Equal(t, 0, status, stderr)
	assert.True(t, strings.HasPrefix(page, `.TH "MUTEWRIGHT" "1"`), page[:40])
	for _, section := range []string{"NAME", "SYNOPSIS", "DESCRIPTION", "VERBS", "EXIT STATUS", "ENVIRONMENT", "CAUTION"} {
		assert.Contains(t, page, `.SH "`+section+`"`+"\n")
	}
	for _, has := range []string{`.SS "check PLAN [options]"`, `\-\-completion`, `\-\-as plan`} {
		assert.Contains(t, page, has)
	}
	for line := range strings.Lines(page) {
		assert.Regexp(t, `^(\.(TH|SH|SS|TP|PP|RS|RE|nf|fi|B)\b|[^.'])`, line)
	}
	groff, err := exec.LookPath("groff")
	if err != nil {
		t.Skip("groff is not installed")
	}
	var complaints bytes.Buffer
	command := exec.Command(groff, "-man", "-Kutf8", "-ww", "-Tutf8", "-z")
	command.Stdin, command.Stderr = strings.NewReader(page), &complaints
	require.NoError(t, command.Run())
	assert.Empty(t, complaints.String())
}

// What the shells ask for when they complete a word.
func TestCandidates(t *testing.T) {
	plan := filepath.Join(module, "testdata", "plans", "sound", "tarnbeck-alone.yaml")
	for name, c := range map[string]struct {
		words []string
		has   []string
		not   string
	}{
		"a verb":            {[]string{"ch"}, []string{"check"}, "sheet"},
		"all verbs":         {[]string{""}, []string{"new", "check", "help"}, "--format"},
		"an option":         {[]string{"check", "--fo"}, []string{"--format"}, "--paper"},
		"behind a plan":     {[]string{"sheet", "x.yaml", "--p"}, []string{"--paper", "--pages"}, "--set"},
		"a form":            {[]string{"check", "--format", ""}, []string{"json", "csv"}, "check"},
		"a form of why":     {[]string{"why", "--format", ""}, []string{"json"}, "csv"},
		"a size":            {[]string{"sheet", "--paper", "l"}, []string{"letter"}, "a4"},
		"a file":            {[]string{"sheet", "-o", ""}, nil, "check"},
		"a plan":            {[]string{"check", ""}, nil, "check"},
		"a quantity":        {[]string{"why", plan, "drive.coil.v"}, []string{"drive.coil.voltage", "drive.coil.voltage_least"}, "depth"},
		"no plan":           {[]string{"why", "none.yaml", ""}, nil, "depth"},
		"a relay":           {[]string{"relays", plan, "reed"}, []string{"reed-spst-no-5v"}, "signal-dpdt-12v"},
		"a kind or a name":  {[]string{"catalog", "1N40"}, []string{"1N4007"}, "relay"},
		"a name of a kind":  {[]string{"catalog", "tubes", "EL"}, []string{"EL84"}, "EL84 "},
		"a verb to explain": {[]string{"help", "co"}, []string{"compare"}, "check"},
		"a shell":           {[]string{"help", "--completion", "f"}, []string{"fish"}, "zsh"},
	} {
		t.Run(name, func(t *testing.T) {
			status, out, stderr := run("", append([]string{"help", "--candidates", "--"}, c.words...)...)
			assert.Equal(t, 0, status)
			assert.Empty(t, stderr)
			got := strings.Split(out, "\n")
			for _, has := range c.has {
				assert.Contains(t, got, has)
			}
			assert.NotContains(t, got, c.not)
			if c.has == nil {
				assert.Empty(t, out)
			}
		})
	}
}

// complete runs bash's own completion on a command line.
func complete(t *testing.T, bash string, typed ...string) []string {
	t.Helper()
	program, err := os.Executable()
	require.NoError(t, err)
	_, script, _ := run("", "help", "--completion", "bash")
	text := script + `
mutewright() { ` + asProgram + `=1 "` + program + `" "$@"; }
COMP_WORDS=("$@")
COMP_CWORD=$(($# - 1))
$(complete -p mutewright | sed 's/.*-F \([^ ]*\) .*/\1/')
printf '%s\n' "${COMPREPLY[@]}"
`
	out, err := exec.Command(bash, append([]string{"-c", text, "bash", "mutewright"}, typed...)...).CombinedOutput()
	require.NoError(t, err, string(out))
	return strings.Fields(string(out))
}

func TestBashCompletes(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("bash is not installed")
	}
	assert.Equal(t, []string{"check"}, complete(t, bash, "ch"))
	assert.Equal(t, []string{"--format"}, complete(t, bash, "check", "plan.yaml", "--f"))
	assert.Equal(t, []string{"text", "json", "csv"}, complete(t, bash, "check", "--format", ""))
	plan, err := filepath.Abs(filepath.Join(module, "testdata", "plans", "sound", "tarnbeck-alone.yaml"))
	require.NoError(t, err)
	assert.Contains(t, complete(t, bash, "why", plan, "control."), "control.open")
	assert.Equal(t, []string{"signal-dpdt-12v"}, complete(t, bash, "catalog", "relay", "signal-dpdt-12"))
	assert.Empty(t, complete(t, bash, "check", "no-such-file"))
}

// The other two scripts are read by their shells where these are installed.
func TestOtherScriptsAreRead(t *testing.T) {
	for shell, flag := range map[string]string{"zsh": "-n", "fish": "--no-execute"} {
		_, script, _ := run("", "help", "--completion", shell)
		assert.Contains(t, script, "mutewright help --candidates -- ")
		path, err := exec.LookPath(shell)
		if err != nil {
			continue
		}
		file := filepath.Join(t.TempDir(), "script")
		require.NoError(t, os.WriteFile(file, []byte(script), 0o644))
		out, err := exec.Command(path, flag, file).CombinedOutput()
		assert.NoError(t, err, string(out))
	}
}

// The schema that new prints is the one that the reader's tables make.
func TestSchemaIsPrinted(t *testing.T) {
	status, out, stderr := run("", "new", "--schema")
	assert.Equal(t, 0, status, stderr)
	assert.Contains(t, out, `"$schema": "https://json-schema.org/draft/2020-12/schema"`)
	assert.Contains(t, out, `"energised_on"`)
}
