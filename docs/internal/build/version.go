package build

import (
	"context"
	"os"
	"os/exec"
	"strings"
)

// version names the source that the site is built from, in the words of the programs
// ([results.Version]). Where there is no version control it says so.
func version(ctx context.Context, root string) string {
	git := func(args ...string) (string, error) {
		c := exec.CommandContext(ctx, "git", append([]string{"-C", root}, args...)...)
		c.Env = append(os.Environ(), "TZ=UTC0")
		out, err := c.Output()
		return strings.TrimSpace(string(out)), err
	}
	at, err := git("log", "-1", "--date=format-local:%Y-%m-%d", "--format=%H %cd")
	if err != nil || len(at) < 40 {
		return "bobweight, built without version control"
	}
	commit, day, _ := strings.Cut(at, " ")
	text := "bobweight, commit " + commit[:12] + " of " + day
	if changed, err := git("status", "--porcelain"); err != nil || changed != "" {
		text += ", modified"
	}
	return text
}
