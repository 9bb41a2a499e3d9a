package build

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"

	"example.org/bobweight/docs/assets"
	"example.org/bobweight/docs/live"
)

// workerScript is the part of the assets that runs in the worker.
const workerScript = "worker.js"

// libraries are what is compiled for the browser: a script of the site and the
// program in it. A page asks for the one that it needs when it needs it.
var libraries = []library{
	{"assets/engine.js", "./live/wasm/engine"},
	{"assets/job.engine.js", "./live/wasm/job"},
}

type library struct{ script, program string }

// packed is the program's file beside the script: what a page from a server asks for, a
// quarter smaller than the script, which is text.
func (l library) packed() string { return strings.TrimSuffix(l.script, ".js") + ".wasm.gz" }

// engine compiles the libraries for the browser. A page opened from a folder may
// neither fetch a file nor start a worker from one, so a library travels as a
// script, compressed and as text. The Go runtime's script and the worker, the demo
// job and its first curve are a script of their own, which a page has at once.
func (b *builder) engine(ctx context.Context) error {
	if b.NoEngine {
		b.site["assets/begin.js"] = []byte("self.bobweight = null;\n")
		return nil
	}
	out, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	support, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(out)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	worker, err := assets.Files.ReadFile(workerScript)
	if err != nil {
		return err
	}
	first, err := b.first(ctx)
	if err != nil {
		return err
	}
	begin, err := json.Marshal(struct {
		Support string            `json:"support"` // script of the Go runtime
		Worker  string            `json:"worker"`  // script
		Demo    string            `json:"demo"`    // job file
		First   *answers          `json:"first"`
		Wasm    map[string]string `json:"wasm"` // by script, what it puts here: gzip, base64
	}{string(support) + "\n", string(worker), string(b.example), first, map[string]string{}})
	if err != nil {
		return err
	}
	b.site["assets/begin.js"] = []byte("self.bobweight = " + string(begin) + ";\n")
	for _, l := range libraries {
		packed, err := b.compile(ctx, l.program)
		if err != nil {
			return err
		}
		b.site[l.packed()] = packed
		b.site[l.script] = fmt.Appendf(nil, "self.bobweight.wasm[%q] = %q;\n", l.script, base64.StdEncoding.EncodeToString(packed))
	}
	return nil
}

// compile makes a program of the site's module into WebAssembly, compressed.
func (b *builder) compile(ctx context.Context, program string) ([]byte, error) {
	work, err := os.MkdirTemp("", "engine")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(work)
	wasm := filepath.Join(work, "engine.wasm")
	compile := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=auto", "-ldflags=-s -w", "-o", wasm, program)
	compile.Dir = filepath.Join(b.Root, "docs")
	compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := compile.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("%w: %s", err, out)
	}
	code, err := os.ReadFile(wasm)
	if err != nil {
		return nil, err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(code); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	b.Progress(fmt.Sprintf("%s by %s: %.1f MB, %.1f MB compressed", program, runtime.Version(), float64(len(code))/1e6, float64(packed.Len())/1e6))
	return packed.Bytes(), nil
}

// answers are what the library answers to the first questions of the pages, to be
// drawn while it starts.
type answers struct {
	Start live.Start      `json:"start"` // of the demo job
	Curve json.RawMessage `json:"curve"`
	Fit   json.RawMessage `json:"fit"`
}

// first asks the library, here and now, what the pages ask first.
func (b *builder) first(ctx context.Context) (*answers, error) {
	var session live.Session
	ask := func(name string, request any) ([]byte, error) {
		in, err := json.Marshal(request)
		if err != nil {
			return nil, err
		}
		return session.Call(ctx, name, in, nil)
	}
	var a answers
	start, err := ask("open", json.RawMessage(b.example))
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(start, &a.Start); err != nil {
		return nil, err
	}
	if a.Curve, err = ask("mechanism", a.Start.Knobs); err != nil {
		return nil, err
	}
	a.Fit, err = ask("readings", live.Light{Readings: a.Start.Readings, Angle: a.Start.Angle, Speed: a.Start.Speed, Band: true})
	return &a, err
}
