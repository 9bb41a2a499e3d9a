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

// engine compiles the library for the browser. A page opened from a folder may
// neither fetch a file nor start a worker from one, so the compiled library, the
// Go runtime's script and the worker travel together as one script, the library
// compressed and as text.
func (b *builder) engine(ctx context.Context) error {
	if b.NoEngine {
		b.site["assets/engine.js"] = []byte("self.bobweight = null;\n")
		return nil
	}
	out, err := exec.CommandContext(ctx, "go", "env", "GOROOT").Output()
	if err != nil {
		return err
	}
	goroot := strings.TrimSpace(string(out))
	support, err := os.ReadFile(filepath.Join(goroot, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "engine")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	wasm := filepath.Join(work, "engine.wasm")
	compile := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=false", "-ldflags=-s -w", "-o", wasm, "./live/wasm")
	compile.Dir = filepath.Join(b.Root, "docs")
	compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := compile.CombinedOutput(); err != nil {
		return fmt.Errorf("%w: %s", err, out)
	}
	code, err := os.ReadFile(wasm)
	if err != nil {
		return err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return err
	}
	if _, err := z.Write(code); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	b.Progress(fmt.Sprintf("compiled by %s: %.1f MB, %.1f MB compressed", runtime.Version(), float64(len(code))/1e6, float64(packed.Len())/1e6))
	worker, err := assets.Files.ReadFile(workerScript)
	if err != nil {
		return err
	}
	start, curve, err := b.first(ctx)
	if err != nil {
		return err
	}
	parts := struct {
		Wasm   string          `json:"wasm"`   // gzip, base64
		Worker string          `json:"worker"` // script
		Demo   string          `json:"demo"`   // job file
		Start  json.RawMessage `json:"start"`  // what opening the demo answers
		Curve  json.RawMessage `json:"curve"`  // and its curve, to be drawn while the library starts
	}{base64.StdEncoding.EncodeToString(packed.Bytes()), string(support) + "\n" + string(worker), string(b.example), start, curve}
	text, err := json.Marshal(parts)
	if err != nil {
		return err
	}
	b.site["assets/engine.js"] = append(append([]byte("self.bobweight = "), text...), ";\n"...)
	return nil
}

// first asks the library, here and now, what the page of the mechanism asks first.
func (b *builder) first(ctx context.Context) (start, curve json.RawMessage, err error) {
	var session live.Session
	if start, err = session.Call(ctx, "open", b.example, nil); err != nil {
		return nil, nil, err
	}
	var s live.Start
	if err := json.Unmarshal(start, &s); err != nil {
		return nil, nil, err
	}
	knobs, err := json.Marshal(s.Knobs)
	if err != nil {
		return nil, nil, err
	}
	curve, err = session.Call(ctx, "mechanism", knobs, nil)
	return start, curve, err
}
