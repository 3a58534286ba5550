package live

import (
	"crypto/subtle"
	"net/http"
	"sync/atomic"
)

// cookieName holds the session.
const cookieName = "dayloom"

// policy lets the page load what this handler serves and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard lets one browser through.
type guard struct {
	host           string // such as 127.0.0.1:40123
	token, session string
	spent          atomic.Bool // the token was taken
	next           http.Handler
}

func (g *guard) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cache-Control", "no-store")
	if !g.local(r) {
		refuse(w)
		return
	}
	if token := r.URL.Query().Get("token"); token != "" && r.URL.Path == "/" && r.Method == http.MethodGet {
		if !same(token, g.token) || !g.spent.CompareAndSwap(false, true) {
			refuse(w)
			return
		}
		http.SetCookie(w, &http.Cookie{Name: cookieName, Value: g.session, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return
	}
	if c, err := r.Cookie(cookieName); err != nil || !same(c.Value, g.session) {
		refuse(w)
		return
	}
	g.next.ServeHTTP(w, r)
}

// local reports whether a request is for this host and from a page of it, or from none.
// What changes anything must say where it is from.
func (g *guard) local(r *http.Request) bool {
	if r.Host != g.host || r.Header.Get("Upgrade") != "" {
		return false
	}
	origins, site := r.Header.Values("Origin"), r.Header.Get("Sec-Fetch-Site")
	switch {
	case len(origins) > 1, len(origins) == 1 && origins[0] != "http://"+g.host:
		return false
	case len(origins) == 0 && r.Method != http.MethodGet && r.Method != http.MethodHead:
		return false
	}
	return site == "" || site == "same-origin" || site == "none"
}

func same(a, b string) bool { return subtle.ConstantTimeCompare([]byte(a), []byte(b)) == 1 }

func refuse(w http.ResponseWriter) {
	http.Error(w, "This page is for the browser that dayloom open was started for. Start it again for another.", http.StatusForbidden)
}
