package live_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dayloom/exporters/live"
)

// FuzzRequests sends the page's handler any body at each of its addresses: it answers in JSON or with a
// map, never with a fault of its own, leaves the file alone, and what it took it can undo.
func FuzzRequests(f *testing.F) {
	paths := []string{"/api/edit", "/api/step", "/api/date", "/api/balance", "/api/reload", "/api/write", "/api/map"}
	at := map[string]int{}
	for i, path := range paths {
		at[path] = i
		f.Add(i, []byte(`{}`))
	}
	for _, k := range knocks() {
		if i, ok := at[k.path]; ok && len(k.body) < 1<<10 {
			f.Add(i, []byte(k.body))
		}
	}
	for _, body := range []string{good, `{"kind":"level","entry":0,"channel":1,"alone":true,"percent":0.0001}`, `{"kind":"time","entry":1,"channel":2,"key":"sunset.to","time":"23:59","more":true}`,
		`{"kind":"coral","coral":1,"x":0.47,"y":0.22,"depth":0.3}`, `{"kind":"lamp","channel":2,"emitter":0,"x":0.41,"y":1e-9,"height":0.23}`} {
		f.Add(at["/api/edit"], []byte(body))
	}
	f.Add(at["/api/map"], []byte(`{"number":1,"depth":0.1,"channels":[0,2],"lamp":{"kind":"lamp","channel":1,"emitter":0,"x":0.3,"y":0.2,"height":0.21}}`))
	f.Add(at["/api/date"], []byte(`{"date":"2200-12-31"}`))
	f.Fuzz(func(t *testing.T, i int, body []byte) {
		file := []byte(small)
		h, doc, err := live.New(t.Context(), live.Config{File: "plan.yaml", Host: "127.0.0.1:1", Token: token, Session: session,
			Read: func(path string) ([]byte, error) {
				if path != "plan.yaml" {
					return nil, fs.ErrNotExist
				}
				return file, nil
			},
			Write: func(_ context.Context, _, text []byte) error { file = text; return nil },
			Now:   func() time.Time { return time.Date(2027, 2, 3, 12, 0, 0, 0, time.UTC) }})
		require.NoError(t, err)
		before, err := doc.View()
		require.NoError(t, err)
		path := paths[((i%len(paths))+len(paths))%len(paths)]
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, "http://127.0.0.1:1"+path, bytes.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Origin", "http://127.0.0.1:1")
		r.AddCookie(&http.Cookie{Name: "dayloom", Value: session})
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		require.Equal(t, small, string(file), "nothing is written that was not shown")
		if w.Code == http.StatusOK && path == "/api/map" {
			require.GreaterOrEqual(t, w.Body.Len(), 16)
			return
		}
		require.True(t, json.Valid(w.Body.Bytes()), w.Body.String())
		after, err := doc.View()
		require.NoError(t, err)
		if w.Code != http.StatusOK {
			require.True(t, w.Code >= 400 && w.Code < 500, "%d %s", w.Code, w.Body)
			var said struct{ Error string }
			require.NoError(t, json.Unmarshal(w.Body.Bytes(), &said))
			require.NotEmpty(t, said.Error)
			require.False(t, strings.Contains(said.Error, "live.") || strings.Contains(said.Error, "json:"), said.Error)
			require.Equal(t, before, after)
			return
		}
		if after.Undo > before.Undo {
			after, err = doc.Step(t.Context(), -1)
			require.NoError(t, err)
			require.Equal(t, 1, after.Redo)
			after.Redo = 0
		}
		if path != "/api/date" {
			for c := range after.Channels {
				after.Channels[c].Version = before.Channels[c].Version
			}
			require.Equal(t, before, after)
		}
	})
}
