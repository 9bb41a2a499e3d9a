package main

import (
	"bytes"
	"context"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"example.org/bobweight/docs/internal/build"
)

var small = build.Site{
	"index.html": []byte("<p>front</p>"), "job/index.html": []byte("<p>job</p>"),
	"assets/site.js": []byte("1"), "assets/job.engine.wasm.gz": {0x1f, 0x8b, 0},
}

// Files come with their kinds; a folder is its index, compressed code stays compressed,
// and what is not of the site is not found.
func TestHandler(t *testing.T) {
	for _, c := range []struct{ path, kind, body string }{
		{"/", "text/html", "<p>front</p>"}, {"/job/", "text/html", "<p>job</p>"}, {"/job/index.html?q=1", "text/html", "<p>job</p>"},
		{"/assets/site.js", "text/javascript", "1"}, {"/assets/job.engine.wasm.gz", "application/octet-stream", "\x1f\x8b\x00"},
	} {
		w := httptest.NewRecorder()
		handler(small).ServeHTTP(w, httptest.NewRequest("GET", c.path, nil))
		if w.Code != 200 || !strings.HasPrefix(w.Header().Get("Content-Type"), c.kind) || w.Body.String() != c.body || w.Header().Get("Content-Encoding") != "" {
			t.Errorf("%s: %d, %v, %q", c.path, w.Code, w.Header(), w.Body)
		}
	}
	for _, path := range []string{"/main.go", "/../go.mod", "/job"} {
		w := httptest.NewRecorder()
		handler(small).ServeHTTP(w, httptest.NewRequest("GET", path, nil))
		if w.Code != 404 {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

// The link that is printed leads to the site, also where the port is in use; the end of
// the context ends the server.
func TestServe(t *testing.T) {
	taken, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer taken.Close()
	ctx, cancel := context.WithCancel(t.Context())
	read, write := io.Pipe()
	ended := make(chan error, 1)
	go func() { ended <- serve(ctx, taken.Addr().String(), small, write) }()
	line := make([]byte, 200)
	n, err := read.Read(line)
	if err != nil {
		t.Fatal(err)
	}
	link := strings.Fields(string(line[:n]))[4]
	reply, err := http.Get(link)
	if err != nil {
		t.Fatal(err)
	}
	defer reply.Body.Close()
	if body, err := io.ReadAll(reply.Body); err != nil || !bytes.Equal(body, small["index.html"]) {
		t.Errorf("%s holds %q, error %v", link, body, err)
	}
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
