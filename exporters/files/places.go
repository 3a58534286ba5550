package files

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Endings of the hidden names beside a file.
const (
	unfinished = ".dayloom-new"
	replaced   = ".dayloom-old"
)

// Leftover reports whether a name is one that only a run that was killed leaves.
func Leftover(name string) bool {
	return strings.HasPrefix(name, ".") && (strings.HasSuffix(name, unfinished) || strings.HasSuffix(name, replaced))
}

// hidden is a name beside a path.
func hidden(path, ending string) string {
	return filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+ending)
}

// place is where a file of a set goes: its name, or what that links to.
type place struct {
	path  string
	isNew bool
	mode  fs.FileMode // that it is to have; 0: as new files get
}

func findPlaces(dir string, set []File) ([]place, error) {
	var out []place
	taken := map[string]string{}
	for _, f := range set {
		named := filepath.Join(dir, f.Name)
		p, err := findPlace(named)
		if err != nil {
			return nil, fmt.Errorf("%s: %w; nothing was written", named, plain(err))
		}
		if other, twice := taken[p.path]; twice {
			return nil, fmt.Errorf("%s and %s are links to one file, %s; nothing was written", other, named, p.path)
		}
		taken[p.path] = named
		if f.Mode != 0 {
			p.mode = f.Mode
		}
		out = append(out, p)
	}
	return out, nil
}

// findPlace follows links to the file itself, which need not be there.
func findPlace(path string) (place, error) {
	const most = 40 // as Linux does
	for range most {
		info, err := os.Lstat(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return place{path: path, isNew: true}, nil
		case err != nil:
			return place{}, err
		case info.IsDir():
			return place{}, errors.New("a folder has this name; move it, or write elsewhere")
		case info.Mode().IsRegular():
			return place{path: path, mode: info.Mode().Perm()}, nil
		case info.Mode()&fs.ModeSymlink == 0:
			return place{}, errors.New(irregular(info.Mode()))
		}
		link, err := os.Readlink(path)
		if err != nil {
			return place{}, err
		}
		if !filepath.IsAbs(link) {
			folder, err := filepath.EvalSymlinks(filepath.Dir(path))
			if err != nil {
				return place{}, err
			}
			link = filepath.Join(folder, link)
		}
		path = link
	}
	return place{}, errors.New("too many links, one to another")
}

// tidy removes what runs that were killed have left in a folder and beside the places
// of a set. Where one was killed while its files took their names, those that had are
// taken back first.
func (d disk) tidy(dir string, places []place) error {
	halfway, old := false, map[string]bool{}
	var all error
	look := func(path string) {
		switch base := filepath.Base(path); {
		case !strings.HasPrefix(base, "."):
		case strings.HasSuffix(base, unfinished):
			info, err := os.Lstat(path)
			halfway = halfway || err == nil && !info.IsDir() // a folder was never given its name, and replaced nothing
			all = errors.Join(all, os.RemoveAll(path))
		case strings.HasSuffix(base, replaced):
			old[path] = true
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil && !errors.Is(err, fs.ErrPermission) {
		return fmt.Errorf("%s: %w", dir, plain(err))
	}
	for _, e := range entries {
		look(filepath.Join(dir, e.Name()))
	}
	for _, p := range places {
		for _, ending := range []string{unfinished, replaced} {
			if path := hidden(p.path, ending); filepath.Dir(path) != dir && exists(path) {
				look(path)
			}
		}
	}
	for path := range old {
		name := strings.TrimSuffix(strings.TrimPrefix(filepath.Base(path), "."), replaced)
		if own := filepath.Join(filepath.Dir(path), name); halfway || !exists(own) {
			all = errors.Join(all, d.rename(path, own))
		}
		all = errors.Join(all, removeIfThere(path))
	}
	if all != nil {
		return fmt.Errorf("%s: what an earlier run left cannot be tidied: %w", dir, all)
	}
	return nil
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return err == nil
}

// folder reports whether a folder is there; anything else of that name is an error.
func folder(dir string) (bool, error) {
	info, err := os.Stat(dir)
	switch {
	case err == nil && !info.IsDir():
		return false, fmt.Errorf("%s is a file; name a folder to write into", dir)
	case err == nil:
		return true, nil
	case !errors.Is(err, fs.ErrNotExist):
		return false, fmt.Errorf("%s: %w", dir, plain(err))
	}
	// Only a link is one to nothing: another run may have made the folder since.
	if info, err := os.Lstat(dir); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		return false, fmt.Errorf("%s is a link to nothing; name a folder to write into", dir)
	}
	return false, nil
}

// makeDir makes the folder and those above it, and notes what it made.
func makeDir(dir string, undo *undoList) error {
	there, err := folder(dir)
	if there || err != nil {
		return err
	}
	if parent := filepath.Dir(dir); parent != dir {
		if err := makeDir(parent, undo); err != nil {
			return err
		}
	}
	if err := os.Mkdir(dir, 0o777); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return nil // somebody else was quicker
		}
		return fmt.Errorf("cannot make the folder %s: %w", dir, plain(err))
	}
	undo.add(func() error { return os.Remove(dir) })
	return nil
}

func checkNames(set []File) error {
	seen := make(map[string]bool)
	for _, f := range set {
		if f.Name == "." || !filepath.IsLocal(f.Name) || filepath.Clean(f.Name) != f.Name {
			return fmt.Errorf("%q is not a plain file name", f.Name)
		}
		if seen[f.Name] {
			return fmt.Errorf("two files of one set are both called %s", f.Name)
		}
		seen[f.Name] = true
	}
	return nil
}

// undoList is what to do, last first, to leave everything as it was.
type undoList struct{ steps []func() error }

func (u *undoList) add(step func() error) { u.steps = append(u.steps, step) }

func (u *undoList) run() error {
	var all error
	for i := len(u.steps) - 1; i >= 0; i-- {
		all = errors.Join(all, u.steps[i]())
	}
	return all
}

func removeIfThere(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// plain strips the system call and the temporary name from an error of the
// operating system: the reader knows neither.
func plain(err error) error {
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
