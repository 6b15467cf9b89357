package main

import (
	"errors"
	"os"
	"path/filepath"
)

// replaceFile writes a file beside its place, through to the disk, and names it last:
// until it is whole the old one stays what it was.
func replaceFile(path string, text []byte) (err error) {
	mode := os.FileMode(0o644)
	if info, err := os.Stat(path); err == nil {
		mode = info.Mode().Perm()
	}
	tmp, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*.tmp")
	if err != nil {
		return &fault{file: path, what: "cannot be written: " + err.Error(), do: "check that the folder exists, that you may write in it, and that the disk is not full", err: err}
	}
	defer func() {
		if err != nil {
			err = &fault{file: path, what: "not written: " + err.Error(), do: "what was there before is unchanged", err: errors.Join(err, os.Remove(tmp.Name()))}
		}
	}()
	_, err = tmp.Write(text)
	if err == nil {
		err = tmp.Chmod(mode)
	}
	if err == nil {
		err = tmp.Sync()
	}
	if err = errors.Join(err, tmp.Close()); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), path)
}
