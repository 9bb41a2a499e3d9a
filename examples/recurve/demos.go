package main

import (
	"embed"
	"fmt"
	"slices"
	"strings"
)

// The saloon's three jobs are one story: readings only, the parts measured, and the run
// after the change.
//
//go:embed saloon-1.json saloon-2.json saloon-3.json
var saloon embed.FS

// demoNames are the jobs that are built in, the first one first.
var demoNames = []string{"demo", "saloon-1", "saloon-2", "saloon-3"}

// builtIn returns a job that is built in, by its name.
func builtIn(name string) ([]byte, error) {
	if !slices.Contains(demoNames, name) {
		return nil, fmt.Errorf("no demo is called %q; there are %s", name, strings.Join(demoNames, ", "))
	}
	if name == demoNames[0] {
		return demo, nil
	}
	return saloon.ReadFile(name + ".json")
}
