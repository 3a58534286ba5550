package live

import (
	"context"
	"embed"
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"time"
)

//go:embed web
var web embed.FS

// Config is what the page needs of the outside.
type Config struct {
	File string
	// Read opens the plan and what it names; see job.Question.
	Read func(path string) ([]byte, error)
	// Write puts a new text in the place of the plan, whole or not at all, keeping the old one beside it.
	Write func(ctx context.Context, old, text []byte) error
	Now   func() time.Time
	Host  string // host and port by which the page is asked for, such as 127.0.0.1:40123
	// Token is what the URL carries, once; Session what the cookie carries then.
	Token, Session string
}

// mostBody bounds what a request may carry, bytes.
const mostBody = 64 << 10

// New opens the plan and gives the handler of its page.
func New(ctx context.Context, c Config) (http.Handler, *Document, error) {
	d, err := Open(ctx, c)
	if err != nil {
		return nil, d, err
	}
	mux, s := http.NewServeMux(), &server{doc: d}
	assets, err := fs.Sub(web, "web")
	if err != nil {
		return nil, d, err
	}
	mux.Handle("GET /{$}", page(assets, "index.html"))
	files, err := fs.Glob(assets, "*.*")
	if err != nil {
		return nil, d, err
	}
	for _, name := range files {
		mux.Handle("GET /"+name, page(assets, name))
	}
	mux.HandleFunc("GET /api/view", s.view)
	mux.HandleFunc("GET /api/watch", s.watch)
	mux.HandleFunc("GET /api/changes", s.changes)
	mux.HandleFunc("POST /api/edit", answer(s.edit))
	mux.HandleFunc("POST /api/step", answer(s.step))
	mux.HandleFunc("POST /api/date", answer(s.date))
	mux.HandleFunc("POST /api/balance", answer(s.balance))
	mux.HandleFunc("POST /api/reload", answer(s.reload))
	mux.HandleFunc("POST /api/write", answer(s.write))
	mux.HandleFunc("POST /api/map", s.light)
	return &guard{host: c.Host, token: c.Token, session: c.Session, next: mux}, d, nil
}

func page(assets fs.FS, name string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { http.ServeFileFS(w, r, assets, name) })
}

// server answers for one document.
type server struct {
	doc   *Document
	queue queue
}

// trouble is an error with what it means to a browser.
type trouble struct {
	code int
	what string
}

func (t *trouble) Error() string { return t.what }

// answer makes a handler of what takes one JSON value and gives another.
func answer[In, Out any](do func(context.Context, In) (Out, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		var in In
		if err := body(w, r, &in); err != nil {
			reply(w, nil, err)
			return
		}
		out, err := do(r.Context(), in)
		reply(w, out, err)
	}
}

// body reads the one JSON value that a request carries.
func body(w http.ResponseWriter, r *http.Request, to any) error {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		return &trouble{http.StatusUnsupportedMediaType, "send application/json"}
	}
	d := json.NewDecoder(http.MaxBytesReader(w, r.Body, mostBody))
	d.DisallowUnknownFields()
	err := d.Decode(to)
	if err == nil {
		if _, more := d.Token(); more != io.EOF {
			err = errors.New("more than one value")
		}
	}
	if large := (*http.MaxBytesError)(nil); errors.As(err, &large) {
		return &trouble{http.StatusRequestEntityTooLarge, "the request is too large"}
	}
	if err != nil {
		return &trouble{http.StatusBadRequest, "the request cannot be read"}
	}
	return nil
}

// reply sends a result, or an error in words.
func reply(w http.ResponseWriter, out any, err error) {
	code := http.StatusOK
	if err != nil {
		code, out = http.StatusUnprocessableEntity, map[string]string{"error": err.Error()}
		if t := (*trouble)(nil); errors.As(err, &t) {
			code = t.code
		}
	}
	text, err := json.Marshal(out)
	if err != nil {
		code, text = http.StatusInternalServerError, []byte(`{"error":"a result is not finite; the plan holds numbers out of all range"}`)
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(code)
	_, _ = w.Write(text) // whoever left does not hear it
}

func (s *server) view(w http.ResponseWriter, r *http.Request) {
	v, err := s.doc.View()
	reply(w, v, err)
}

func (s *server) watch(w http.ResponseWriter, r *http.Request) {
	reply(w, map[string]bool{"changed": s.doc.Changed()}, nil)
}

func (s *server) changes(w http.ResponseWriter, r *http.Request) {
	c, err := s.doc.Changes()
	reply(w, c, err)
}

func (s *server) edit(ctx context.Context, e Edit) (View, error) { return s.doc.Apply(ctx, e) }

func (s *server) step(ctx context.Context, by struct {
	By int `json:"by"`
}) (View, error) {
	return s.doc.Step(ctx, by.By)
}

func (s *server) date(ctx context.Context, on struct {
	Date string `json:"date"`
}) (View, error) {
	return s.doc.On(ctx, on.Date)
}

func (s *server) balance(ctx context.Context, _ struct{}) (View, error) { return s.doc.Balance(ctx) }
func (s *server) reload(ctx context.Context, _ struct{}) (View, error)  { return s.doc.Reload(ctx) }

func (s *server) write(ctx context.Context, shown struct {
	Mark string `json:"mark"`
}) (View, error) {
	return s.doc.Write(ctx, shown.Mark)
}
