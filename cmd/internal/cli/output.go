package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
)

// deliver writes what the verb left to standard output or to the file of -o.
func (c *call) deliver() error {
	if c.options.output == "" || c.options.output == "-" {
		if c.out.Len() == 0 {
			return nil
		}
		if f, isFile := c.stdout.(*os.File); isFile && startedClosed(f) {
			return errors.New("write standard output: it is closed")
		}
		if _, err := c.stdout.Write(c.out.Bytes()); err != nil {
			return fmt.Errorf("write standard output: %w", cause(err))
		}
		return nil
	}
	c.file.Lock()
	defer c.file.Unlock()
	return c.replace(c.options.output, c.out.Bytes())
}

// replace puts data in place of the file at path, whole or not at all: it is
// written beside its target and renamed. Devices and pipes are written to.
func (c *call) replace(path string, data []byte) error {
	target := path
	if real, err := filepath.EvalSymlinks(path); err == nil {
		target = real // rename would replace the link, not the file
	}
	mode := fs.FileMode(0o666)
	info, err := os.Stat(target)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return fmt.Errorf("write %s: %w", path, cause(err))
	case info.IsDir():
		return &trouble{status: wrong, err: fmt.Errorf("write %s: it is a directory", path), hint: "give -o a file name"}
	case c.isInput(info):
		return &trouble{status: wrong, err: fmt.Errorf("write %s: it was read as input", path), hint: "give -o another file name"}
	case !info.Mode().IsRegular():
		return overwrite(path, data)
	default:
		mode = info.Mode().Perm()
	}

	beside, err := createBeside(target, mode)
	if err != nil {
		return fmt.Errorf("write %s: %w", path, cause(err))
	}
	_, err = beside.Write(data)
	if err = errors.Join(err, beside.Close()); err == nil {
		err = os.Rename(beside.Name(), target)
	}
	if err != nil {
		return errors.Join(fmt.Errorf("write %s: %w", path, cause(err)), os.Remove(beside.Name()))
	}
	return nil
}

// createBeside makes a new file in the directory of target, under a name that
// nothing has yet; the umask applies to its mode.
func createBeside(target string, mode fs.FileMode) (*os.File, error) {
	for n := os.Getpid(); ; n++ {
		name := filepath.Join(filepath.Dir(target), fmt.Sprintf(".mutewright-%d", n))
		f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
		if !errors.Is(err, fs.ErrExist) {
			return f, err
		}
	}
}

// overwrite writes to something that cannot be replaced: a device, a pipe.
func overwrite(path string, data []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		_, err = f.Write(data)
		err = errors.Join(err, f.Close())
	}
	if err != nil {
		return fmt.Errorf("write %s: %w", path, cause(err))
	}
	return nil
}

func (c *call) isInput(info fs.FileInfo) bool {
	for _, in := range c.inputs {
		if os.SameFile(in, info) {
			return true
		}
	}
	return false
}

// cause is the reason of a file error without the name and the system call.
func cause(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
