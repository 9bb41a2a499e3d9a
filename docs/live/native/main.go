// Native answers the requests of the pages that compute outside a browser, one
// JSON object {"name", "request"} a line on the standard input, so that a test
// can hold what a page shows against the library.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"

	"example.org/bobweight/docs/live"
)

func main() {
	if err := run(os.Stdin, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "native:", err)
		os.Exit(1)
	}
}

// run answers until the input ends.
func run(in io.Reader, out io.Writer) error {
	var session live.Session
	requests, answers := json.NewDecoder(in), json.NewEncoder(out)
	for {
		var q struct{ Name, Request string }
		if err := requests.Decode(&q); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
		a := struct {
			Answer string `json:"answer,omitempty"`
			Error  string `json:"error,omitempty"`
		}{}
		data, err := session.Call(context.Background(), q.Name, []byte(q.Request), nil)
		a.Answer = string(data)
		if err != nil {
			a.Error = err.Error()
		}
		if err := answers.Encode(a); err != nil {
			return err
		}
	}
}
