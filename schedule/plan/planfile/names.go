package planfile

import (
	"fmt"
	"regexp"
	"slices"

	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

// names are the things of one sort that the plan defines, in file order, with the
// place of each.
type names struct {
	list   []string
	at     []diag.Place
	quiet  bool           // there are none because of a fault reported already
	first  map[string]int // where each is in list
	misses int            // names asked for that are not there
}

// mostGuesses is for how many wrong names the nearest right one is looked for: more
// are a file of another plan, in which guesses cost time and help nobody.
const mostGuesses = 50

// index is where a name is in the list, -1 when it is not.
func (n *names) index(name string) int {
	if i, ok := n.first[name]; ok {
		return i
	}
	return -1
}

// near is the hint for a name that is not there.
func (n *names) near(name string) string {
	if n.misses++; n.misses > mostGuesses {
		return ""
	}
	return diag.DidYouMean(name, n.list)
}

var (
	nameForm = regexp.MustCompile(`^[a-z][a-z0-9_-]{0,63}$`)
	portForm = regexp.MustCompile(`^[a-z0-9][a-z0-9_-]{0,63}$`)
)

const nameAllowed = "names are lower-case letters, digits, - and _, beginning with a letter"

// define adds a name, reporting one of a wrong form or one that is taken.
func (n *names) define(v yamltree.Value, sort string) {
	if !nameForm.MatchString(v.Name()) {
		v.KeyError(fmt.Sprintf("%q is not a valid name for %s", v.Name(), sort), nameAllowed, "")
	}
	if i := n.index(v.Name()); i >= 0 {
		v.KeyConflict(fmt.Sprintf("%q is given twice as the name of %s", v.Name(), sort), "give each its own name", n.at[i], "first given here")
	}
	if n.first == nil {
		n.first = map[string]int{}
	}
	if _, ok := n.first[v.Name()]; !ok {
		n.first[v.Name()] = len(n.list)
	}
	n.list, n.at = append(n.list, v.Name()), append(n.at, v.KeyPlace())
}

// find is the index of the name that a value holds, -1 (reported) if there is none.
func (n *names) find(v yamltree.Value, sort string) int {
	text, ok := v.Text("write the name of a " + sort)
	if !ok {
		return -1
	}
	i := n.index(text)
	if i < 0 && !n.quiet {
		v.Error(fmt.Sprintf("no %s is called %q", sort, text), n.allowed(sort), n.near(text))
	}
	return i
}

func (n *names) allowed(sort string) string {
	if len(n.list) == 0 {
		return "the plan has none"
	}
	return fmt.Sprintf("the plan has: %s", diag.Words(n.list))
}

// findAll is the indexes of the names in a list: at least one, none twice.
func (n *names) findAll(v yamltree.Value, sort string) (found []int) {
	example := fmt.Sprintf("write a list of %s names such as [a, b]", sort)
	items := v.Items(example)
	if v.IsList() && len(items) == 0 {
		v.Error(v.Name()+" is an empty list", example, "")
	}
	for _, item := range items {
		i := n.find(item, sort)
		switch {
		case i < 0:
		case slices.Contains(found, i):
			item.Error(fmt.Sprintf("%q is given twice in the list", n.list[i]), "name each "+sort+" once", "")
		default:
			found = append(found, i)
		}
	}
	return found
}
