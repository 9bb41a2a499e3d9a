package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"path"
	"strings"
	"time"

	"example.org/bobweight/docs/internal/build"
)

// serve hands the site out at the address until the context ends, and prints the link.
// Where the port is in use it takes any other.
func serve(ctx context.Context, address string, site build.Site, out io.Writer) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("address to serve on: %w", err)
	}
	listener, err := net.Listen("tcp", address)
	if err != nil {
		if listener, err = net.Listen("tcp", net.JoinHostPort(host, "0")); err != nil {
			return fmt.Errorf("address to serve on: %w", err)
		}
	}
	server := &http.Server{Handler: handler(site), ReadHeaderTimeout: 10 * time.Second}
	stop := context.AfterFunc(ctx, func() { server.Close() })
	defer stop()
	fmt.Fprintf(out, "The site is at http://%s/ until you end this program (Ctrl-C).\n", listener.Addr())
	if err := server.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// handler hands out files of the site. A browser asks again before it uses what it has.
func handler(site build.Site) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		name := strings.TrimPrefix(path.Clean(r.URL.Path), "/")
		if strings.HasSuffix(r.URL.Path, "/") {
			name = strings.TrimPrefix(path.Join(name, "index.html"), "/")
		}
		data, ok := site[name]
		if !ok {
			http.NotFound(w, r)
			return
		}
		kind := mime.TypeByExtension(path.Ext(name))
		if kind == "" || path.Ext(name) == ".gz" {
			kind = "application/octet-stream"
		}
		w.Header().Set("Content-Type", kind)
		w.Header().Set("Cache-Control", "no-cache")
		if r.Method != http.MethodHead {
			w.Write(data)
		}
	})
}
