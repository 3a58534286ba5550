package page_test

import (
	"bytes"
	"context"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/job"
	"dayloom/exporters/page"
	"dayloom/schedule/plan"
)

const starters = "../../cmd/dayloom/starters/"

var on = plan.Date{Year: 2027, Month: 2, Day: 20}

// made is the report of a starter, its plan altered after reading.
func made(t testing.TB, like string, alter func(*plan.Plan) (*plan.Plan, error)) string {
	t.Helper()
	j, err := job.Open(context.Background(), job.Question{File: starters + like + "/plan.yaml", Read: os.ReadFile, Alter: alter})
	require.NoError(t, err)
	p, err := page.New(context.Background(), j, page.Question{Date: on, Version: "dayloom test", Doubts: j.Doubts(on)})
	require.NoError(t, err)
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	return b.String()
}

// element is a tag with its attributes.
type element struct {
	name string
	attr map[string]string
	text string // what follows it at once
}

// elements are those of a page, in order.
func elements(t testing.TB, html string) (out []element) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return out
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			el := element{name: e.Name.Local, attr: map[string]string{}}
			for _, a := range e.Attr {
				el.attr[a.Name.Local] = a.Value
			}
			out = append(out, el)
		case xml.CharData:
			if len(out) > 0 && out[len(out)-1].text == "" {
				out[len(out)-1].text = strings.TrimSpace(string(e))
			}
		}
	}
}

// The page asks for nothing, runs nothing, and can be read by ear: headings in order, drawings
// with titles, tables whose heads say what they head.
func TestPageStandsAlone(t *testing.T) {
	likes := []string{"readings", "nursery"}
	if testing.Short() {
		likes = likes[:1]
	}
	for _, like := range likes {
		html := made(t, like, nil)
		assert.Less(t, len(html), 1_500_000)
		for _, bad := range []string{`(?i)https?:`, `//[a-z]`, `url\(`, `@import`, `NaN`, `Inf\b`, `(?i)<script`, `<[^>]*\son\w+=`} {
			assert.Empty(t, regexp.MustCompile(bad).FindString(html), bad)
		}
		level, ids, all := 0, map[string]bool{}, elements(t, html)
		for i, e := range all {
			assert.NotContains(t, []string{"script", "link", "img", "iframe", "object", "foreignObject", "use", "image", "base", "form"}, e.name)
			for _, a := range []string{"src", "srcset", "xlink", "action", "data"} {
				assert.NotContains(t, e.attr, a)
			}
			if href, ok := e.attr["href"]; ok {
				assert.True(t, strings.HasPrefix(href, "#"), href)
			}
			if id := e.attr["id"]; id != "" {
				assert.False(t, ids[id], "the id %s stands twice", id)
				ids[id] = true
			}
			switch e.name {
			case "h1", "h2", "h3":
				assert.LessOrEqual(t, int(e.name[1]-'0'), level+1)
				level = int(e.name[1] - '0')
			case "th":
				assert.Contains(t, []string{"row", "col"}, e.attr["scope"])
			case "svg":
				if e.attr["role"] == "img" && e.attr["aria-label"] == "" {
					assert.Equal(t, "title", all[i+1].name)
					assert.NotEmpty(t, all[i+1].text)
				}
			}
		}
		for _, e := range all {
			for _, id := range strings.Fields(e.attr["aria-labelledby"]) {
				assert.True(t, ids[id], "nothing has the id %s", id)
			}
		}
		for _, id := range []string{"targets", "tank", "day", "ports", "year", "faults", "colour", "power", "doubts", "cautions", "made"} {
			assert.True(t, ids[id], id)
		}
	}
	assert.Equal(t, made(t, "single", nil), made(t, "single", nil), "same plan, same bytes")
}

// hostile are names that try to be more than text.
var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `</title><script>x</script>`, `</style><b>`, `</svg><script>x</script>`,
	`' onmouseover='alert(1)`, `" style="position:fixed`, `{{.Plan}}`, `{{template "page" .}}`, `<!-- `, `-->`, `<![CDATA[x]]>`, `&lt;b&gt;`, `&#x3c;b&#x3e;`,
	`javascript:alert(1)`, `</table></body></html>`, `<a href="https://example.org">x</a>`, "`;alert(1)//", `%3Cscript%3E`, `<svg/onload=alert(1)>`,
}

// Names full of markup show as text: they change no element and no attribute's name.
func TestHostileNamesAreText(t *testing.T) {
	require.Len(t, hostile, 20)
	shape := func(html string) (out []string) {
		for _, e := range elements(t, html) {
			keys := []string{}
			for k := range e.attr {
				keys = append(keys, k)
			}
			slices.Sort(keys)
			out = append(out, e.name+" "+strings.Join(keys, " "))
		}
		return out
	}
	harmless := map[int][]string{} // by length: long names may fold
	names := hostile
	if testing.Short() {
		names = names[:3]
	}
	for _, name := range names {
		html := made(t, "readings", renamed(name))
		if harmless[len(name)] == nil {
			harmless[len(name)] = shape(made(t, "readings", renamed(strings.Repeat("n", len(name)))))
		}
		assert.Equal(t, harmless[len(name)], shape(html), name)
		seen := 0
		for _, e := range elements(t, html) {
			seen += strings.Count(e.text, name)
		}
		assert.Greater(t, seen, 10, "%s is not shown as it is", name)
	}
}

// renamed gives all that has a name in a plan a hostile one.
func renamed(name string) func(*plan.Plan) (*plan.Plan, error) {
	return func(p *plan.Plan) (*plan.Plan, error) {
		q := *p
		q.Name, q.Hash = name, p.Hash
		q.Zones, q.Corals, q.Channels, q.Controllers = slices.Clone(p.Zones), slices.Clone(p.Corals), slices.Clone(p.Channels), slices.Clone(p.Controllers)
		for i := range q.Zones {
			q.Zones[i].Name = fmt.Sprintf("%s%d", name, i)
		}
		for i := range q.Corals {
			q.Corals[i].Name = fmt.Sprintf("%s%d", name, i)
		}
		for i := range q.Channels {
			q.Channels[i].Name = fmt.Sprintf("%s%d", name, i)
		}
		for i := range q.Controllers {
			c := &q.Controllers[i]
			c.Name, c.Ports = name, slices.Clone(c.Ports)
			for k := range c.Ports {
				r := &c.Ports[k]
				r.Controller, r.Lamps = name, slices.Clone(r.Lamps)
				for l := range r.Lamps {
					r.Lamps[l].Channel = q.Channels[r.Channels[l]].Name
				}
			}
		}
		q.Chores = []plan.Chore{{Name: name, From: on.AddDays(9), To: on.AddDays(9)}}
		return &q, nil
	}
}

// Text has a contrast of 4.5 and more with what it stands on (WCAG 2.2, 1.4.3), light and dark.
func TestContrast(t *testing.T) {
	light, dark, _ := strings.Cut(page.Styles, "@media screen")
	dark, _, _ = strings.Cut(dark, "*{box-sizing")
	values := func(css string, into map[string]string) map[string]string {
		for _, m := range regexp.MustCompile(`--(\w+):(#[0-9a-f]{3,6})`).FindAllStringSubmatch(css, -1) {
			into[m[1]] = m[2]
		}
		return into
	}
	day := values(light, map[string]string{})
	night := values(dark, values(light, map[string]string{}))
	for name, v := range map[string]map[string]string{"light": day, "dark": night} {
		for _, pair := range [][2]string{{"ink", "paper"}, {"quiet", "paper"}, {"sea", "paper"}, {"low", "paper"}, {"high", "paper"}, {"chalk", "plate"},
			{"ink", "risk"}, {"ink", "over"}, {"ink", "under"}, {"ink", "less"}, {"ink", "more"}} {
			require.NotEmpty(t, v[pair[0]])
			require.NotEmpty(t, v[pair[1]])
			assert.GreaterOrEqual(t, contrast(v[pair[0]], v[pair[1]]), 4.5, "%s: %s on %s", name, pair[0], pair[1])
		}
	}
	assert.InDelta(t, 21, contrast("#fff", "#000"), 1e-9)
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(hex string) float64 {
	if len(hex) == 4 {
		hex = "#" + strings.Repeat(hex[1:2], 2) + strings.Repeat(hex[2:3], 2) + strings.Repeat(hex[3:4], 2)
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
		c := float64(n) / 255
		if c <= 0.04045 {
			sum += weight * c / 12.92
		} else {
			sum += weight * math.Pow((c+0.055)/1.055, 2.4)
		}
	}
	return sum
}
