package job

import (
	"context"
	"slices"
	"strings"

	"example.org/bobweight/advance/readings/learned"
)

// stage is one question of a job: what it needs of the file, what it answers, and
// what an answer would be worth where something is missing.
type stage struct {
	name  string   // of the question, as the report prints it
	doing string   // as the progress says it
	share float64  // of the time of a whole job, for the progress
	needs []string // fields, whole sections or single ones
	also  []string // further fields, of other stages, that this one rests on
	// got reports whether what it rests on is there by another way, so that also is not
	// asked for; nil where there is none.
	got  func(*work) bool
	buys string // what the answer would tell
	// can reports whether the file, and the stages before, hold what it takes.
	can func(*work) bool
	// answer does the work; done reports how much of it is done, 0 to 1.
	answer func(ctx context.Context, w *work, done func(float64)) error
}

// stages lists the questions in the order of work.
func stages() []stage {
	return []stage{
		presentStage(), slotStage(), partsStage(), fittedStage(), engineStage(), recipeStage(), changeStage(), runsStage(),
		unitStage(), hoseStage(),
	}
}

// work is a job under way.
type work struct {
	job    *Job
	doing  string // what the progress says instead of the stage's own words
	report *Report
	ahead  *ahead           // the engine's answer; nil without an engine
	fit    *presentFit      // nil without readings
	wants  *requirement     // nil without an engine
	choice *choice          // nil without mechanism and drawer
	change *change          // what clamp and slot alone do; nil without readings
	taught *learned.Result  // what all runs teach, once they are fitted together
	before *learned.Result  // what the runs before the newest teach, and
	judged *learned.Verdict // what they say of its parts, once asked; nil where they say nothing
	asked  bool
	wrote  func(part float64)
}

// writing is the share of what follows the answer, for the progress.
const writing = 0.45

// run answers every stage that can be answered and asks for what the others lack.
func (w *work) run(ctx context.Context, progress func(what string, done float64)) error {
	before, whole, most := 0.0, writing, 0.0
	tell := func(what string, done float64) {
		most = max(most, min(done, 1))
		progress(what, most)
	}
	if w.job.has.engine {
		w.ahead = w.job.askAhead(ctx)
		defer w.ahead.end()
	}
	list := stages()
	for i, s := range list {
		if len(w.job.asked(s.needs)) > 0 {
			list[i].share = 0 // not answered, or little of it
		}
		whole += list[i].share
	}
	for _, s := range list {
		part := StagePart{Stage: s.name, Answered: s.can(w)}
		if part.Answered {
			from, share := before/whole, s.share/whole
			tell(s.doing, from)
			w.doing = s.doing
			if err := s.answer(ctx, w, func(done float64) { tell(w.doing, from+share*min(max(done, 0), 1)) }); err != nil {
				return err
			}
		}
		if s.got != nil && s.got(w) {
			s.also = nil
		}
		part.ask(w.job, &s)
		if s.name == recipeStage().name && part.Answered && w.job.learned() && w.choice != nil {
			part.Missing, part.Buys = nil, "" // searched with parts as the runs teach them
		}
		w.report.Stages = append(w.report.Stages, part)
		before += s.share
	}
	w.wrote = func(part float64) { tell("writing the report", (before+writing*part)/whole) }
	w.wrote(0)
	return nil
}

// Asks says for every question what the file leaves out that it needs, without working
// the job; nothing of a nil one.
func (j *Job) Asks() []StagePart {
	if j == nil {
		return nil
	}
	var out []StagePart
	for _, s := range stages() {
		part := StagePart{Stage: s.name}
		part.ask(j, &s)
		out = append(out, part)
	}
	return out
}

// ask notes what a stage lacks and what an answer would tell.
func (p *StagePart) ask(j *Job, s *stage) {
	p.Missing = j.asked(s.needs)
	if !p.Answered {
		p.Missing = j.asked(append(slices.Clone(s.needs), s.also...))
	}
	if !p.Answered || len(p.Missing) > 0 {
		p.Buys = s.buys
	}
}

// asked lists what is missing of the fields that a stage needs. A section that is
// left out altogether is asked for as one.
func (j *Job) asked(needs []string) []Missing {
	var out []Missing
	add := func(path string) {
		how := howToGet(path)
		if why := j.tooFew(); why != "" && (path == "readings" || inside(path, "runs") && strings.HasSuffix(path, ".readings")) {
			how = why + " Best are 12: " + byLight
		}
		if !slices.ContainsFunc(out, func(m Missing) bool { return m.Field == path }) {
			out = append(out, Missing{Field: path, Name: j.called(path), How: how})
		}
	}
	for _, need := range needs {
		for _, path := range j.missing {
			if !inside(path, need) {
				continue
			}
			if section := j.absent(path); section != "" {
				path = section
			}
			add(path)
		}
	}
	return out
}

// absent returns the outermost section around a path that the file does not hold at
// all; empty where the section is there.
func (j *Job) absent(path string) string {
	for i := 0; i < len(path); i++ {
		if path[i] != '.' && path[i] != '[' {
			continue
		}
		if section := path[:i]; !j.gives(section) && howToGet(section) != "" {
			return section
		}
	}
	return ""
}

// gives reports whether a field stands in the file.
func (j *Job) gives(path string) bool { _, ok := j.lines[path]; return ok }

// called is the name that the builder gave to the part round a field, to be found
// again; empty if it has none.
func (j *Job) called(path string) string {
	var i int
	f := &j.file
	for _, list := range []struct {
		prefix string
		names  func() []string
	}{
		{"drawer.springs[", func() (out []string) {
			for _, s := range f.Drawer.Springs {
				out = append(out, s.Name)
			}
			return out
		}},
		{"drawer.weights[", func() (out []string) {
			for _, s := range f.Drawer.Weights {
				out = append(out, s.Name)
			}
			return out
		}},
		{"distributor.spring_places[", func() (out []string) {
			for _, s := range f.Distributor.Places {
				out = append(out, s.Name)
			}
			return out
		}},
		{"distributor.springs[", func() []string { return f.Distributor.Springs }},
	} {
		rest, ok := strings.CutPrefix(path, list.prefix)
		if !ok {
			continue
		}
		for _, c := range rest {
			if c < '0' || c > '9' {
				break
			}
			i = 10*i + int(c-'0')
		}
		if names := list.names(); i < len(names) {
			return names[i]
		}
	}
	return ""
}
