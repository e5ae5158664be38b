package cli_test

import (
	"bytes"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"mutewright/cmd/internal/cli"
)

// run runs one command line in process.
func run(stdin string, args ...string) (status int, stdout, stderr string) {
	var out, errs bytes.Buffer
	status = cli.Main(args, strings.NewReader(stdin), &out, &errs)
	return status, out.String(), errs.String()
}

func TestHelpAndVersionGoToStdout(t *testing.T) {
	for name, args := range map[string][]string{
		"help":              {"help"},
		"help of a verb":    {"help", "check"},
		"--help":            {"--help"},
		"-h":                {"-h"},
		"verb --help":       {"sheet", "--help"},
		"--help before":     {"--help", "sheet"},
		"--version":         {"--version"},
		"verb --version":    {"check", "--version"},
		"licences":          {"help", "--licences"},
		"behind two dashes": {"--", "help", "check"},
	} {
		t.Run(name, func(t *testing.T) {
			status, stdout, stderr := run("", args...)
			assert.Equal(t, 0, status)
			assert.NotEmpty(t, stdout)
			assert.Empty(t, stderr)
		})
	}
}

func TestEveryVerbHasHelpOfItsOwn(t *testing.T) {
	_, overview, _ := run("", "help")
	for _, verb := range strings.Fields("new check sheet diagram relays mains why compare catalog help") {
		t.Run(verb, func(t *testing.T) {
			assert.Contains(t, overview, "\n  "+verb+" ")
			status, stdout, _ := run("", "help", verb)
			assert.Equal(t, 0, status)
			assert.True(t, strings.HasPrefix(stdout, verb+": "), stdout)
			assert.Contains(t, stdout, "usage: mutewright "+verb)
		})
	}
}

func TestMisuseEndsWithTwoAndTheUsageLine(t *testing.T) {
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"unknown verb":               {[]string{"chek", "x"}, `unknown verb "chek"; nearest: check`},
		"unknown option":             {[]string{"sheet", "--papr", "a4", "x"}, "unknown option --papr; nearest: --paper"},
		"unknown letter":             {[]string{"sheet", "-q", "x"}, "unknown option -q"},
		"option of another verb":     {[]string{"check", "--paper", "a4", "x"}, "option --paper does not belong here"},
		"option without value":       {[]string{"check", "x", "--format"}, "--format needs a value"},
		"option twice":               {[]string{"sheet", "x", "--paper", "a4", "--paper=letter"}, "--paper is given twice"},
		"switch twice":               {[]string{"sheet", "x", "--strict", "--strict"}, "--strict is given twice"},
		"unknown format":             {[]string{"check", "x", "--format", "xml"}, "--format xml is not written here; choose text, json, csv"},
		"format without this verb":   {[]string{"why", "x", "y", "--format", "csv"}, "--format csv is not written here; choose text, json"},
		"unknown paper":              {[]string{"sheet", "x", "-o", "y", "--paper", "a3"}, "--paper a3 is not known; choose a4 or letter"},
		"argument missing":           {[]string{"why"}, "PLAN is missing"},
		"argument too many":          {[]string{"check", "x", "y"}, `unexpected argument "y"`},
		"dash behind two dashes":     {[]string{"check", "--", "x", "--format"}, `unexpected argument "--format"`},
		"sheet without file":         {[]string{"sheet", "x"}, "-o FILE is missing"},
		"plan and cord":              {[]string{"mains", "x", "--cord=three-wire"}, "the plan gives the mains"},
		"plan and voltage":           {[]string{"mains", "x", "--voltage=120V"}, "the plan gives the mains"},
		"neither plan nor readings":  {[]string{"mains"}, "PLAN or --reading is missing"},
		"reading without a load":     {[]string{"mains", "--voltage=120V", "--frequency=60Hz", "--reading=118 V"}, "volts on a load are wanted"},
		"reading without unit":       {[]string{"mains", "--voltage=120V", "--frequency=60Hz", "--reading=118 on 1 Mohm"}, "no unit on \"118\""},
		"mains without voltage":      {[]string{"mains", "--frequency=60Hz", "--reading=118 V on 1 Mohm"}, "--voltage and --frequency are missing"},
		"unknown tube":               {[]string{"new", "--tubes", "6AQ6"}, `unknown type "6AQ6"; nearest: 6AQ5`},
		"rail without unit":          {[]string{"new", "--rails", "250"}, `--rails: no unit on "250"`},
		"unknown relay":              {[]string{"relays", filepath.Join(module, "testdata", "plans", "sound", "fenwick-six.yaml"), "slim-spdt-7v"}, `"slim-spdt-7v"; nearest: slim-spdt-5v`},
		"unknown entry":              {[]string{"catalog", "EL48"}, `"EL48"; nearest: EL84`},
		"help of an unknown verb":    {[]string{"help", "relay"}, `unknown verb "relay"; nearest: relays`},
		"option before unknown verb": {[]string{"--format", "json", "chek"}, `unknown verb "chek"`},
	} {
		t.Run(name, func(t *testing.T) {
			status, stdout, stderr := run("", c.args...)
			assert.Equal(t, 2, status)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, c.says)
			assert.Regexp(t, `(?m)^(usage: mutewright|hint: )`, stderr)
		})
	}
}

func TestFailuresEndWithThree(t *testing.T) {
	dir := t.TempDir()
	for name, c := range map[string]struct {
		args []string
		says string
	}{
		"no such plan":      {[]string{"check", filepath.Join(dir, "none.yaml")}, "none.yaml: no such file or directory\nhint: mutewright new"},
		"plan is directory": {[]string{"check", dir}, "it is a directory"},
		"no directory":      {append(readings, "-o", filepath.Join(dir, "none", "x")), "x: no such file or directory"},
	} {
		t.Run(name, func(t *testing.T) {
			status, stdout, stderr := run("", c.args...)
			assert.Equal(t, 3, status)
			assert.Empty(t, stdout)
			assert.Contains(t, stderr, c.says)
		})
	}
}

// readings is a command line that needs no plan.
var readings = []string{"mains", "--voltage", "120V", "--frequency", "60Hz", "--reading", "0.3 V on 1.5 kohm"}

func TestOutputIsWrittenWhole(t *testing.T) {
	_, want, _ := run("", readings...)
	require.NotEmpty(t, want)
	for name, prepare := range map[string]func(t *testing.T, file string){
		"new file": func(*testing.T, string) {},
		"existing file keeps its mode": func(t *testing.T, file string) {
			require.NoError(t, os.WriteFile(file, []byte("old"), 0o640))
		},
		"link stays a link": func(t *testing.T, file string) {
			require.NoError(t, os.WriteFile(file+".target", []byte("old"), 0o640))
			require.NoError(t, os.Symlink(file+".target", file))
		},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			file := filepath.Join(dir, "out.txt")
			prepare(t, file)
			before, _ := os.Lstat(file)
			status, stdout, stderr := run("", append(readings, "-o", file)...)
			assert.Equal(t, 0, status)
			assert.Empty(t, stdout)
			assert.Empty(t, stderr)
			got, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, want, string(got))
			if after, err := os.Lstat(file); assert.NoError(t, err) && before != nil {
				assert.Equal(t, before.Mode(), after.Mode())
			}
			hidden, err := filepath.Glob(filepath.Join(dir, ".mutewright-*"))
			require.NoError(t, err)
			assert.Empty(t, hidden, "left behind")
		})
	}
}

func TestOutputOntoADirectoryIsRefused(t *testing.T) {
	status, stdout, stderr := run("", append(readings, "-o", t.TempDir())...)
	assert.Equal(t, 2, status)
	assert.Empty(t, stdout)
	assert.Contains(t, stderr, "it is a directory")
}

func TestOutputOntoAnInputIsRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), "own.yaml")
	const own = "relays: {own-spdt-6v: {same_as: slim-spdt-6v}}\n"
	require.NoError(t, os.WriteFile(file, []byte(own), 0o644))
	require.NoError(t, os.Symlink(file, file+".link"))
	for _, onto := range []string{file, file + ".link", filepath.Dir(file) + "/./own.yaml"} {
		status, stdout, stderr := run("", "catalog", "own-spdt-6v", "--catalog", file, "-o", onto)
		assert.Equal(t, 2, status)
		assert.Empty(t, stdout)
		assert.Contains(t, stderr, "it was read as input\nhint: give -o another file name")
		got, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.Equal(t, own, string(got))
	}
}

func TestDashIsStdout(t *testing.T) {
	_, want, _ := run("", readings...)
	status, got, _ := run("", append(readings, "-o", "-")...)
	assert.Equal(t, 0, status)
	assert.Equal(t, want, got)
}

// full is a writer on a full disk.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, syscall.ENOSPC }

func TestUnwritableStdoutEndsWithThree(t *testing.T) {
	var stderr bytes.Buffer
	assert.Equal(t, 3, cli.Main([]string{"help"}, strings.NewReader(""), full{}, &stderr))
	assert.Equal(t, "mutewright: write standard output: no space left on device\n", stderr.String())
}

func TestInterruptEndsWith130(t *testing.T) {
	never, hold := io.Pipe() // a standard input on which nothing comes
	defer hold.Close()
	reading := make(chan struct{})
	stdin := readerFunc(func(p []byte) (int, error) {
		select {
		case <-reading:
		default:
			close(reading)
		}
		return never.Read(p)
	})
	go func() {
		<-reading
		assert.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
	}()
	assert.Equal(t, 130, cli.Main([]string{"check", "-"}, stdin, io.Discard, io.Discard))
}

func TestMessagesHoldNothingThatATerminalObeys(t *testing.T) {
	_, _, stderr := run("", "check", "\x1b[2J\u202ename")
	assert.Contains(t, stderr, `read \u001b[2J\u202ename: no such file`)
}

// Any command line ends with a status of the contract and prints nothing to
// stdout when it is wrong.
func FuzzCommandLine(f *testing.F) {
	for _, seed := range []string{
		"check\n-", "help\ncheck", "sheet\n-\n--paper=letter", "mains\n--voltage=120V\n--frequency=60 Hz\n--reading=118 V on 1 Mohm",
		"new\n--tubes=6AQ5,6BA6", "--\ncheck\n-", "catalog\nEL84\n--format\njson", "compare\n-\n-", "--version\n--help", "check\n-\n--set\na=b",
	} {
		f.Add(seed, "plan: 1\n")
	}
	f.Fuzz(func(t *testing.T, line, stdin string) {
		args := strings.Split(line, "\n")
		for _, a := range args {
			// Nothing is written to files of the fuzzer's choice.
			if strings.HasPrefix(a, "--out") || strings.HasPrefix(a, "-") && !strings.HasPrefix(a, "--") && a != "-" {
				t.Skip()
			}
		}
		status, stdout, stderr := run(stdin, args...)
		assert.Contains(t, []int{0, 1, 2, 3}, status)
		if status >= 2 {
			assert.Empty(t, stdout)
			assert.NotEmpty(t, stderr)
		}
	})
}

type readerFunc func([]byte) (int, error)

func (f readerFunc) Read(p []byte) (int, error) { return f(p) }

// Every module that is linked into the program has its licence in it.
func TestLicencesCoverTheProgram(t *testing.T) {
	_, text, _ := run("", "help", "--licences")
	list := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}{{end}}", "mutewright/cmd/mutewright")
	list.Dir = module
	out, err := list.Output()
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		t.Log(string(exit.Stderr))
	}
	require.NoError(t, err)
	for _, path := range strings.Fields(string(out)) {
		if path != "mutewright" {
			assert.Contains(t, text, path)
		}
	}
}
