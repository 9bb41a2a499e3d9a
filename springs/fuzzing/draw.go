package fuzzing

import (
	"math"
	"math/rand/v2"
)

// refused are values that no caller should give and some will.
var refused = []float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1, math.Copysign(0, -1), 5e-324, 1e-300, 1e-9, 1e9, 1e300, math.MaxFloat64, -math.MaxFloat64}

// hostile returns the i-th of the values that no caller should give, round and round.
func hostile(i int) float64 { return refused[i%len(refused)] }

// drawer makes inputs of seeds: one of them with some arguments changed or exchanged
// for another's.
type drawer struct {
	*rand.Rand
	seeds [][]any
}

func (d *drawer) input() []any {
	from := d.seeds[d.IntN(len(d.seeds))]
	args := append([]any(nil), from...)
	// Mostly few are changed, so that what stands before them does not refuse.
	for n := 1 + d.few(len(args)); n > 0; n-- {
		i := d.IntN(len(args))
		if d.IntN(8) == 0 {
			args[i] = d.seeds[d.IntN(len(d.seeds))][i]
		}
		args[i] = d.change(args[i], i)
	}
	return args
}

// few is a number from 0 to less than n, mostly small.
func (d *drawer) few(n int) int {
	k := 0
	for k < n-1 && d.IntN(3) > 0 {
		k++
	}
	return k
}

// change returns something else of the same type.
func (d *drawer) change(a any, i int) any {
	switch a := a.(type) {
	case float64:
		return d.float(a)
	case bool:
		return !a
	case string:
		return string(d.bytes([]byte(a), i))
	case []byte:
		return d.bytes(a, i)
	case int:
		return int(d.integer(int64(a)))
	case uint8:
		return uint8(d.integer(int64(a)))
	case uint16:
		return uint16(d.integer(int64(a)))
	case uint64:
		return uint64(d.integer(int64(a)))
	}
	return a
}

func (d *drawer) float(x float64) float64 {
	switch d.IntN(8) {
	case 0:
		return hostile(d.IntN(len(refused)))
	case 1:
		return math.Float64frombits(d.Uint64())
	case 2:
		return math.Float64frombits(math.Float64bits(x) + uint64(d.IntN(5)) - 2) // a neighbour
	case 3:
		return -x
	case 4:
		return x * math.Pow(10, 40*d.Float64()-20)
	case 5:
		return math.Round(x)
	}
	return x * math.Exp(d.NormFloat64())
}

func (d *drawer) integer(x int64) int64 {
	switch d.IntN(6) {
	case 0:
		return int64(d.Uint64())
	case 1:
		return -x
	case 2:
		return x ^ 1<<d.IntN(63)
	}
	return x + int64(d.IntN(33)) - 16
}

// tokens are what decoders watch for.
var tokens = []string{"{", "}", "[", "]", "\"", ",", ":", "null", "true", "-", "1e999", "NaN", "0", "1", " mm", " deg", " rpm crank", " 1/2", "\n", "\r\n", "\t", "\\u202e", "\x00", "\xff", "\u2028", "#", "\ufeff"}

// longest bounds what grows.
const longest = 1 << 16

// bytes changes a text in one to some places.
func (d *drawer) bytes(b []byte, argument int) []byte {
	out := append([]byte(nil), b...)
	for n := 1 + d.few(6); n > 0; n-- {
		at := d.IntN(len(out) + 1)
		to := min(len(out), at+d.few(64))
		switch d.IntN(6) {
		case 0: // cut
			out = append(out[:at:at], out[to:]...)
		case 1: // repeat
			out = append(out[:to:to], out[at:]...)
		case 2: // a token
			out = insert(out, at, tokens[d.IntN(len(tokens))])
		case 3: // any byte
			if at < len(out) {
				out[at] = byte(d.Uint64())
			}
		case 4: // a bit
			if at < len(out) {
				out[at] ^= 1 << d.IntN(8)
			}
		case 5: // a piece of another seed
			out = insert(out, at, d.piece(argument))
		}
	}
	return out[:min(len(out), longest)]
}

// piece is a part of some seed's argument.
func (d *drawer) piece(argument int) string {
	var from string
	switch s := d.seeds[d.IntN(len(d.seeds))][argument].(type) {
	case string:
		from = s
	case []byte:
		from = string(s)
	}
	at := d.IntN(len(from) + 1)
	return from[at:min(len(from), at+d.few(200))]
}

func insert(b []byte, at int, text string) []byte {
	out := append([]byte(nil), b[:at]...)
	return append(append(out, text...), b[at:]...)
}
