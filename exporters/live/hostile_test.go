package live_test

import (
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// knock is a request that should come to nothing.
type knock struct {
	name, method, path, body, host, origin, cookie, kind string
	header                                               map[string]string
	code                                                 int // 0: 403
}

const good = `{"kind":"level","entry":0,"percent":77}`

// knocks are requests from elsewhere, without leave, or without sense. What is empty is as
// the page itself would have it; "-" is left out.
func knocks() []knock {
	edit := func(name, body string, code int) knock {
		return knock{name: name, path: "/api/edit", body: body, code: code}
	}
	return []knock{
		{name: "host of a name that leads here", host: "attacker.example"},
		{name: "host with another port", host: "127.0.0.1:1"},
		{name: "localhost for the number", host: "localhost"},
		{name: "host with a tail", host: "HOST.evil.example"},
		{name: "origin elsewhere", origin: "http://attacker.example"},
		{name: "origin null", origin: "null"},
		{name: "origin with another port", origin: "http://127.0.0.1:1"},
		{name: "origin with https", origin: "https://HOST"},
		{name: "no origin", origin: "-"},
		{name: "fetched across sites", header: map[string]string{"Sec-Fetch-Site": "cross-site"}},
		{name: "fetched from a neighbour", header: map[string]string{"Sec-Fetch-Site": "same-site"}},
		{name: "no cookie", cookie: "-"},
		{name: "wrong cookie", cookie: "dayloom=x"},
		{name: "empty cookie", cookie: "dayloom="},
		{name: "token as cookie", cookie: "dayloom=" + token},
		{name: "cookie of another name", cookie: "session=" + session},
		{name: "token again", method: "GET", path: "/?token=" + token, cookie: "-", origin: "-"},
		{name: "wrong token", method: "GET", path: "/?token=x", cookie: "-", origin: "-"},
		{name: "token with a tail", method: "GET", path: "/?token=" + token + "x", cookie: "-", origin: "-"},
		{name: "page without cookie", method: "GET", path: "/", cookie: "-", origin: "-"},
		{name: "script without cookie", method: "GET", path: "/page.js", cookie: "-", origin: "-"},
		{name: "plan without cookie", method: "GET", path: "/api/view", cookie: "-", origin: "-"},
		{name: "plan from elsewhere", method: "GET", path: "/api/view", origin: "http://attacker.example"},
		{name: "websocket from elsewhere", method: "GET", path: "/api/view", origin: "http://attacker.example", header: map[string]string{"Upgrade": "websocket", "Connection": "Upgrade"}},
		{name: "websocket", method: "GET", path: "/api/view", header: map[string]string{"Upgrade": "websocket", "Connection": "Upgrade"}},
		{name: "preflight from elsewhere", method: "OPTIONS", path: "/api/edit", origin: "http://attacker.example", header: map[string]string{"Access-Control-Request-Method": "POST"}},
		{name: "put", method: "PUT", path: "/api/edit", body: good, code: 405},
		{name: "get of what changes", method: "GET", path: "/api/edit", code: 405},
		{name: "delete", method: "DELETE", path: "/api/view", code: 405},
		{name: "post to the page", method: "POST", path: "/", code: 405},
		{name: "path out of the folder", method: "GET", path: "/..%2f..%2fetc%2fpasswd", code: 404},
		{name: "the folder of the page", method: "GET", path: "/web/index.html", code: 404},
		{name: "backslashes", method: "GET", path: "/..%5c..%5cplan.yaml", code: 404},
		{name: "the plan by its name", method: "GET", path: "/plan.yaml", code: 404},
		{name: "form", path: "/api/edit", body: "kind=level", kind: "application/x-www-form-urlencoded", code: 415},
		{name: "text", path: "/api/edit", body: good, kind: "text/plain", code: 415},
		{name: "no content type", path: "/api/edit", body: good, kind: "-", code: 415},
		edit("huge body", `{"kind":"`+strings.Repeat("x", 1<<20)+`"}`, 413),
		edit("bad JSON", `{"kind":`, 400),
		edit("two values", good+good, 400),
		edit("unknown field", `{"kind":"level","entry":0,"percent":77,"file":"/etc/passwd"}`, 400),
		edit("not an object", `[1]`, 400),
		edit("NaN", `{"kind":"level","entry":0,"percent":NaN}`, 400),
		edit("infinite", `{"kind":"level","entry":0,"percent":1e999}`, 400),
		edit("no such kind", `{"kind":"shell"}`, 400),
		edit("no such entry", `{"kind":"level","entry":99,"percent":1}`, 422),
		edit("entry below zero", `{"kind":"level","entry":-1,"percent":1}`, 422),
		edit("level above all", `{"kind":"level","entry":0,"percent":101}`, 422),
		edit("no such key", `{"kind":"time","entry":0,"key":"peak","time":"10:00"}`, 422),
		edit("key that leads on", `{"kind":"time","entry":0,"key":"sunrise.from.0","time":"10:00"}`, 422),
		edit("no time", `{"kind":"time","entry":0,"key":"sunrise.from","time":"10:00\nname: x"}`, 422),
		edit("ramps crossed", `{"kind":"time","entry":0,"key":"sunset.from","time":"09:30"}`, 422),
		edit("no such coral", `{"kind":"coral","coral":7,"x":0.1,"y":0.1,"depth":0.1}`, 422),
		edit("coral out of the tank", `{"kind":"coral","coral":0,"x":9,"y":0.1,"depth":0.1}`, 422),
		edit("unknown channel", `{"kind":"lamp","channel":9,"emitter":0,"x":0.1,"y":0.1,"height":0.2}`, 422),
		edit("lamp in the water", `{"kind":"lamp","channel":0,"emitter":0,"x":0.1,"y":0.1,"height":-0.2}`, 422),
		{name: "map of no channel", path: "/api/map", body: `{"number":1,"depth":0.1,"channels":[99]}`, code: 422},
		{name: "map out of the water", path: "/api/map", body: `{"number":1,"depth":-5,"channels":[0]}`, code: 422},
		{name: "map of many", path: "/api/map", body: `{"number":1,"depth":0.1,"channels":[` + strings.Repeat("0,", 999) + `0]}`, code: 422},
		{name: "write what was not shown", path: "/api/write", body: `{"mark":"0"}`, code: 409},
		{name: "undo of nothing", path: "/api/step", body: `{"by":-1}`, code: 409},
		{name: "two steps", path: "/api/step", body: `{"by":2}`, code: 409},
		{name: "date of no calendar", path: "/api/date", body: `{"date":"2027-02-30"}`, code: 422},
	}
}

func (b *bench) knock(k knock) *http.Response {
	b.t.Helper()
	host := strings.TrimPrefix(b.server.URL, "http://")
	if k.method == "" {
		k.method = "POST"
	}
	if k.path == "" {
		k.path, k.body = "/api/edit", good
	}
	r, err := http.NewRequestWithContext(b.t.Context(), k.method, b.server.URL, strings.NewReader(k.body))
	require.NoError(b.t, err)
	r.URL, err = url.Parse(b.server.URL + k.path)
	require.NoError(b.t, err)
	put := func(header, value, otherwise string) {
		if value == "" {
			value = otherwise
		}
		if value != "-" {
			r.Header.Set(header, strings.ReplaceAll(value, "HOST", host))
		}
	}
	if k.host != "" {
		r.Host = strings.ReplaceAll(k.host, "HOST", host)
	}
	put("Origin", k.origin, b.server.URL)
	put("Cookie", k.cookie, "dayloom="+session)
	put("Content-Type", k.kind, "application/json")
	for h, v := range k.header {
		r.Header.Set(h, v)
	}
	client := &http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	out, err := client.Do(r)
	require.NoError(b.t, err)
	b.t.Cleanup(func() { out.Body.Close() })
	return out
}

func TestHostileRequestsChangeNothing(t *testing.T) {
	b := newBench(t, small)
	first := b.knock(knock{method: "GET", path: "/?token=" + token, cookie: "-", origin: "-"})
	require.Equal(t, http.StatusSeeOther, first.StatusCode)
	cookie := first.Header.Get("Set-Cookie")
	for _, part := range []string{"dayloom=" + session, "HttpOnly", "SameSite=Strict", "Path=/"} {
		assert.Contains(t, cookie, part)
	}
	before, err := b.doc.View()
	require.NoError(t, err)
	all := knocks()
	require.GreaterOrEqual(t, len(all), 40)
	for _, k := range all {
		if k.code == 0 {
			k.code = http.StatusForbidden
		}
		r := b.knock(k)
		text, err := io.ReadAll(r.Body)
		require.NoError(t, err)
		assert.Equal(t, k.code, r.StatusCode, "%s: %s", k.name, text)
		assert.NotContains(t, string(text), "goroutine", k.name)
		assert.Empty(t, r.Header.Get("Access-Control-Allow-Origin"), k.name)
		assert.Equal(t, "nosniff", r.Header.Get("X-Content-Type-Options"), k.name)
		after, err := b.doc.View()
		require.NoError(t, err)
		require.Equal(t, before, after, k.name)
	}
	assert.Equal(t, small, b.text())
	ok := b.knock(knock{})
	assert.Equal(t, http.StatusOK, ok.StatusCode, "the page's own edit is heard")
}

func TestHeadersOfThePage(t *testing.T) {
	b := newBench(t, small)
	r := b.knock(knock{method: "GET", path: "/", origin: "-"})
	require.Equal(t, http.StatusOK, r.StatusCode)
	policy := r.Header.Get("Content-Security-Policy")
	for _, part := range []string{"default-src 'none'", "script-src 'self'", "style-src 'self'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
		assert.Contains(t, policy, part)
	}
	assert.NotContains(t, policy, "unsafe")
	assert.Equal(t, "no-store", r.Header.Get("Cache-Control"))
	page, err := io.ReadAll(r.Body)
	require.NoError(t, err)
	assert.NotContains(t, string(page), "<style")
	assert.NotContains(t, string(page), "style=")
	assert.NotContains(t, string(page), "onclick")
}

// hostile are names that would do something if a page took them for markup, a path or a number.
var hostile = []string{
	`<script>alert(1)</script>`, `<img src=x onerror=alert(1)>`, `"><svg onload=alert(1)>`, `</title><script>alert(1)</script>`, `javascript:alert(1)`,
	`'; alert(1); '`, `${alert(1)}`, `{{.Name}}`, `<!-- x`, `]]>`, `&lt;b&gt;`, `\u003cscript\u003e`, `%3Cscript%3E`, `<iframe srcdoc='x'>`, `<style>*{display:none}</style>`,
	`<a href=//attacker.example>x</a>`, `<base href=//attacker.example>`, `__proto__`, `constructor`, `=HYPERLINK("x")`,
}

// hostilePlan has a plan's name, notes and, where a name may be so, corals and channels of that kind.
func hostilePlan(name string) string {
	quoted := strings.ReplaceAll(name, "'", "''")
	return strings.Replace(small, "name: Two lamps", "name: '"+quoted+"'", 1) + fmt.Sprintf("calendar:\n  - {on: 2027-02-03, name: '%s', scale: 90 %%}\n", quoted)
}

// Whatever a plan is called comes to the page as text in JSON, and no name of a coral or channel can be markup: the
// reader refuses it. The browser test looks at what the page makes of them.
func TestHostileNamesAreText(t *testing.T) {
	for _, name := range hostile {
		b := newBench(t, hostilePlan(name))
		v, err := b.doc.View()
		require.NoError(t, err)
		assert.Equal(t, name, v.Name)
		r := b.knock(knock{method: "GET", path: "/api/view", origin: "-"})
		assert.Equal(t, "application/json; charset=utf-8", r.Header.Get("Content-Type"))
		text, err := io.ReadAll(r.Body)
		require.NoError(t, err)
		assert.NotContains(t, string(text), "<", name)
	}
	for _, name := range hostile {
		plan := strings.ReplaceAll(small, "fan:", "'"+strings.ReplaceAll(name, "'", "''")+"':")
		b := newBench(t, small)
		require.NoError(t, os.WriteFile(b.file, []byte(plan), 0o600))
		if v, err := b.doc.Reload(t.Context()); err == nil {
			assert.Equal(t, name, v.Corals[0].Name)
			assert.NotContains(t, name, "<")
		}
	}
}
