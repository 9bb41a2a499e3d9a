package main

import (
	"context"
	"strings"
	"testing"
)

func TestRun(t *testing.T) {
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"-engines", "60", "-seed", "3"}, 0, "60 simulated engines with 6, 8, 12 or 20 readings each, seed 3"},
		{[]string{"-engines", "8", "-readings", "9"}, 0, "8 simulated engines with 9 readings each"},
		{[]string{"-engines", "0"}, 1, "valid is 1 to 1000000"},
		{[]string{"-nonsense"}, 2, "nonsense"},
		{[]string{"stray"}, 2, "stray"},
	} {
		var out, problems strings.Builder
		code := run(context.Background(), c.args, &out, &problems)
		if all := out.String() + problems.String(); code != c.code || !strings.Contains(all, c.says) {
			t.Errorf("%v: exit %d, %q", c.args, code, all)
		}
	}
}

// The table does not depend on how the work was shared out.
func TestRunRepeats(t *testing.T) {
	var first, again, problems strings.Builder
	args := []string{"-engines", "20", "-seed", "9"}
	if run(context.Background(), args, &first, &problems) != 0 || run(context.Background(), args, &again, &problems) != 0 {
		t.Fatal(problems.String())
	}
	if first.String() != again.String() || !strings.Contains(first.String(), "static timing") {
		t.Errorf("two runs differ:\n%s\n%s", first.String(), again.String())
	}
}
