package leastsquares

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// The damped step is that of gonum's factorisation of the same stacked matrix.
func TestSolveDampedAgainstGonum(t *testing.T) {
	const seed = 3
	rng := rand.New(rand.NewPCG(seed, 0))
	for range 200 {
		n := 1 + rng.IntN(8)
		m := n + rng.IntN(20)
		stack, rhs := make([]float64, (m+n)*n), make([]float64, m+n)
		for i := range m {
			rhs[i] = rng.NormFloat64()
			for j := range n {
				stack[i*n+j] = rng.NormFloat64() * math.Pow(10, float64(j%3))
			}
		}
		for j := range n {
			stack[(m+j)*n+j] = rng.Float64() + 0.01
		}
		var want mat.VecDense
		a := mat.NewDense(m+n, n, append([]float64(nil), stack...))
		if err := want.SolveVec(a, mat.NewVecDense(m+n, append([]float64(nil), rhs...))); err != nil {
			t.Fatal(err)
		}
		step := make([]float64, n)
		solveDamped(m, n, stack, rhs, step)
		for j := range n {
			// Backward stable: the errors are of the rounding times the condition, below 1e5 here.
			if !(math.Abs(step[j]-want.AtVec(j)) <= 1e-10*(1+math.Abs(want.AtVec(j)))) {
				t.Fatalf("seed %d, %d rows, %d columns: step[%d] = %g, gonum %g", seed, m, n, j, step[j], want.AtVec(j))
			}
		}
	}
}
