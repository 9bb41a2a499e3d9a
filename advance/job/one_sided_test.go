package job_test

import (
	"encoding/json"
	"strings"
	"testing"
)

// Where the readings show one side only, the other end is not there: neither in the
// report nor in what is written of it.
func TestOneSidedHasNoSecondEnd(t *testing.T) {
	t.Parallel()
	r := work(t, read(plain, 600, 2400, 150, "")).Readings
	if r.Total.Bound != "at least" || r.Total.Low == nil || r.Total.High != nil {
		t.Errorf("stop unseen: total %+v", r.Total)
	}
	r = work(t, read(plain, 1800, 3600, 150, "")).Readings
	if r.Static.Bound != "at most" || r.Static.High == nil || r.Static.Low != nil {
		t.Errorf("start unseen: static timing %+v", r.Static)
	}
	data, err := json.Marshal(r.Static)
	if err != nil || strings.Contains(string(data), `"low"`) || !strings.Contains(string(data), `"high"`) {
		t.Errorf("%s, error %v", data, err)
	}
}
