package results

import (
	"runtime/debug"

	"example.org/bobweight/advance/job"
)

// Version names the program by the commit that it was built from: "bobweight,
// commit 0123456789ab of 2026-05-01", with "modified" where the source differed from
// it. A program that was built without version control says so.
func Version() string {
	if c := commit(); c != "" {
		return "bobweight, " + c
	}
	return "bobweight, built without version control"
}

// commit is empty where the build does not tell.
func commit() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return ""
	}
	of := map[string]string{}
	for _, s := range info.Settings {
		of[s.Key] = s.Value
	}
	revision, day := of["vcs.revision"], of["vcs.time"]
	if revision == "" {
		return ""
	}
	text := "commit " + revision[:min(12, len(revision))]
	if len(day) >= 10 {
		text += " of " + day[:10]
	}
	if of["vcs.modified"] == "true" {
		text += ", modified"
	}
	return text
}

// Stamp writes the version into a report and its sheets, where the build tells it.
func Stamp(r *job.Report) {
	if commit() == "" {
		return
	}
	r.Version = Version()
	if r.Sheet != nil {
		r.Sheet.Version = Version()
	}
	for _, x := range r.Recipes {
		if x.Sheet != nil {
			x.Sheet.Version = Version()
		}
	}
}
