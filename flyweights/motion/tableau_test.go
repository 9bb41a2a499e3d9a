package motion

import (
	"math/big"
	"testing"
)

// tree is a rooted tree of Butcher's theory: its branches.
type tree []tree

// treesOf returns all rooted trees with n nodes.
func treesOf(n int) (out []tree) {
	if n == 1 {
		return []tree{nil}
	}
	var grow func(left, largest, index int, branches tree)
	grow = func(left, largest, index int, branches tree) {
		if left == 0 {
			out = append(out, append(tree(nil), branches...))
			return
		}
		// Branches in falling order of size and then of index: each set once.
		for size := min(left, largest); size >= 1; size-- {
			of := treesOf(size)
			last := len(of) - 1
			if size == largest {
				last = min(last, index)
			}
			for i := last; i >= 0; i-- {
				grow(left-size, size, i, append(branches, of[i]))
			}
		}
	}
	grow(n-1, n-1, len(treesOf(n-1)), nil)
	return out
}

func (t tree) order() int {
	n := 1
	for _, b := range t {
		n += b.order()
	}
	return n
}

// density is the tree's gamma: its order times the densities of its branches.
func (t tree) density() int64 {
	g := int64(t.order())
	for _, b := range t {
		g *= b.density()
	}
	return g
}

func rat(r ratio) *big.Rat { return big.NewRat(r.num, r.den) }

// weights returns, stage by stage, the product over the tree's branches of the
// sums of matrix times the branch's own product.
func (t tree) weights() [stages]*big.Rat {
	var w [stages]*big.Rat
	for i := range w {
		w[i] = big.NewRat(1, 1)
	}
	for _, b := range t {
		inner := b.weights()
		for i := range w {
			sum := new(big.Rat)
			for j := range stages - 1 {
				sum.Add(sum, new(big.Rat).Mul(rat(matrix[i][j]), inner[j]))
			}
			w[i].Mul(w[i], sum)
		}
	}
	return w
}

// The number of rooted trees with 1 to 5 nodes is 1, 1, 2, 4, 9 (Hairer,
// Norsett, Wanner I, Table II.2.1).
func TestTreesCounted(t *testing.T) {
	for n, want := range map[int]int{1: 1, 2: 1, 3: 2, 4: 4, 5: 9} {
		if got := len(treesOf(n)); got != want {
			t.Errorf("%d trees with %d nodes, want %d", got, n, want)
		}
	}
}

// Butcher's conditions sum b_i Phi_i(tree) = 1/gamma(tree) hold exactly, in
// rational arithmetic, for all 17 trees up to order 5 for the solution and all
// 8 up to order 4 for the embedded one; and each method fails the next order.
func TestOrderConditions(t *testing.T) {
	var fifth, fourth [stages]ratio
	copy(fifth[:], matrix[stages-1][:])
	fifth[stages-1] = ratio{0, 1}
	fourth = embedded
	for name, c := range map[string]struct {
		b     [stages]ratio
		order int
	}{"solution": {fifth, 5}, "embedded": {fourth, 4}} {
		failed := 0
		for n := 1; n <= c.order+1; n++ {
			for _, tr := range treesOf(n) {
				sum := new(big.Rat)
				for i, w := range tr.weights() {
					sum.Add(sum, new(big.Rat).Mul(rat(c.b[i]), w))
				}
				holds := sum.Cmp(big.NewRat(1, tr.density())) == 0
				if n <= c.order && !holds {
					t.Errorf("%s: order %d, tree %v: %v, want 1/%d", name, n, tr, sum, tr.density())
				}
				if n > c.order && !holds {
					failed++
				}
			}
		}
		if failed == 0 {
			t.Errorf("%s: also of order %d, which it cannot be", name, c.order+1)
		}
	}
	for i := range stages { // the nodes are the row sums
		sum := new(big.Rat)
		for _, a := range matrix[i] {
			sum.Add(sum, rat(a))
		}
		if sum.Cmp(rat(nodes[i])) != 0 {
			t.Errorf("row %d sums to %v, node %v", i, sum, rat(nodes[i]))
		}
	}
}

// The continuous extension has order 4 everywhere in the step: for every tree of
// order r <= 4 its weights give s^r/gamma as a polynomial in s, exactly. At the
// end of the step it is the solution.
func TestDenseConditions(t *testing.T) {
	for n := 1; n <= 4; n++ {
		for _, tr := range treesOf(n) {
			w := tr.weights()
			for k := range 4 {
				sum := new(big.Rat)
				for i := range stages {
					sum.Add(sum, new(big.Rat).Mul(rat(dense[i][k]), w[i]))
				}
				want := new(big.Rat)
				if k == n-1 {
					want.SetFrac64(1, tr.density())
				}
				if sum.Cmp(want) != 0 {
					t.Errorf("order %d, tree %v, power %d: %v, want %v", n, tr, k+1, sum, want)
				}
			}
		}
	}
	for i := range stages {
		sum := new(big.Rat)
		for _, d := range dense[i] {
			sum.Add(sum, rat(d))
		}
		want := new(big.Rat)
		if i < stages-1 {
			want = rat(matrix[stages-1][i])
		}
		if sum.Cmp(want) != 0 {
			t.Errorf("weight %d ends at %v, want %v", i, sum, want)
		}
	}
}
