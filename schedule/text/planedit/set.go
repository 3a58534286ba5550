package planedit

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// Set gives the plan's text with the scalar at path replaced by value, at every
// place that the path names. The error names what may stand at the step that fails.
func Set(src []byte, path, value string) ([]byte, error) {
	if strings.ContainsAny(value, "\r\n") {
		return nil, errors.New("a value is one line of text")
	}
	root, err := parse(src)
	if err != nil {
		return nil, err
	}
	places, err := find(root, strings.Split(path, "."), "")
	if err != nil {
		return nil, err
	}
	text := slices.Clone(src)
	slices.SortFunc(places, func(a, b yamltree.Value) int { return offset(src, b.Place()) - offset(src, a.Place()) })
	for _, v := range places { // the last first, so that the offsets of the others hold
		from := offset(src, v.Place())
		to, err := end(src, from, v)
		if err != nil {
			return nil, err
		}
		text = slices.Replace(text, from, to, []byte(written(value, src[from:to]))...)
	}
	if err := verify(text, path, value); err != nil {
		return nil, err
	}
	return text, nil
}

func parse(src []byte) (yamltree.Value, error) {
	var problems diag.List
	root, ok := yamltree.Parse("the plan", src, &problems)
	if !ok || problems.HasErrors() {
		return root, fmt.Errorf("the plan cannot be edited until it can be read: %w", problems.Sort("the plan")[0])
	}
	return root, nil
}

// find lists the scalars that the rest of a path names below a value.
func find(v yamltree.Value, steps []string, done string) ([]yamltree.Value, error) {
	if len(steps) == 0 {
		if !v.IsText() {
			return nil, fmt.Errorf("%s is not a single value; %s", named(done), next(v))
		}
		return []yamltree.Value{v}, nil
	}
	step := steps[0]
	here := strings.TrimPrefix(done+"."+step, ".")
	if v.IsList() {
		items := v.Items("")
		i, err := strconv.Atoi(step)
		if k := strings.Index("xyz", step); k >= 0 && len(step) == 1 && len(items) > 0 && items[0].IsText() {
			i, err = k, nil // of a place
		}
		if err == nil {
			if i < 0 || i >= len(items) {
				return nil, fmt.Errorf("%s has no item %s; %s", named(done), step, next(v))
			}
			return find(items[i], steps[1:], here)
		}
		return every(items, steps, done)
	}
	child := v.Child(step)
	if !child.Given() {
		why := fmt.Sprintf("%s has no %q; %s", named(done), step, next(v))
		if hint := diag.DidYouMean(step, keys(v)); hint != "" {
			why += "; " + hint
		}
		return nil, errors.New(why)
	}
	return find(child, steps[1:], here)
}

// every follows the steps in each item of a list; it fails when none has them.
func every(items []yamltree.Value, steps []string, done string) (all []yamltree.Value, first error) {
	for i, item := range items {
		found, err := find(item, steps, fmt.Sprintf("%s.%d", done, i))
		all = append(all, found...)
		if first == nil {
			first = err
		}
	}
	if len(all) > 0 {
		return all, nil
	}
	if first == nil {
		first = fmt.Errorf("%s is an empty list", named(done))
	}
	return nil, first
}

func keys(v yamltree.Value) (list []string) {
	if v.IsMap() {
		for _, e := range v.Entries("") {
			list = append(list, e.Name())
		}
	}
	return list
}

// next says how a path may go on from a value.
func next(v yamltree.Value) string {
	switch {
	case v.IsMap():
		return "it has: " + diag.Words(keys(v))
	case v.IsList() && len(v.Items("")) > 0:
		return fmt.Sprintf("it is a list with items 0 to %d", len(v.Items(""))-1)
	case v.IsList():
		return "it is an empty list"
	}
	return "it is a single value"
}

func named(path string) string {
	if path == "" {
		return "the plan"
	}
	return path
}

// Get is the text of the scalar at a path that names one place.
func Get(src []byte, path string) (string, error) {
	root, err := parse(src)
	if err != nil {
		return "", err
	}
	v, err := at(root, path)
	if err != nil {
		return "", err
	}
	if !v.IsText() {
		return "", fmt.Errorf("%s is not a single value; %s", path, next(v))
	}
	text, _ := v.Text("")
	return text, nil
}
