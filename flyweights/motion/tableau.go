package motion

// ratio is an exact fraction of the method's table.
type ratio struct{ num, den int64 }

func (r ratio) float() float64 { return float64(r.num) / float64(r.den) }

const stages = 7

// The pair 5(4) of Dormand and Prince (1980), Table 2 (RK5(4)7M), as printed in
// Hairer, Norsett, Wanner I, Table II.5.2. The last stage is the derivative at
// the new point, so its weights are the row of the matrix before it.
var (
	nodes = [stages]ratio{{0, 1}, {1, 5}, {3, 10}, {4, 5}, {8, 9}, {1, 1}, {1, 1}}

	matrix = [stages][stages - 1]ratio{
		{{0, 1}, {0, 1}, {0, 1}, {0, 1}, {0, 1}, {0, 1}},
		{{1, 5}, {0, 1}, {0, 1}, {0, 1}, {0, 1}, {0, 1}},
		{{3, 40}, {9, 40}, {0, 1}, {0, 1}, {0, 1}, {0, 1}},
		{{44, 45}, {-56, 15}, {32, 9}, {0, 1}, {0, 1}, {0, 1}},
		{{19372, 6561}, {-25360, 2187}, {64448, 6561}, {-212, 729}, {0, 1}, {0, 1}},
		{{9017, 3168}, {-355, 33}, {46732, 5247}, {49, 176}, {-5103, 18656}, {0, 1}},
		{{35, 384}, {0, 1}, {500, 1113}, {125, 192}, {-2187, 6784}, {11, 84}},
	}

	// embedded are the weights of order 4 that judge the step.
	embedded = [stages]ratio{{5179, 57600}, {0, 1}, {7571, 16695}, {393, 640}, {-92097, 339200}, {187, 2100}, {1, 40}}

	// dense are the weights of the continuous extension of order 4 as
	// polynomials s, s^2, s^3, s^4 of the share s of the step (Hairer, Norsett,
	// Wanner I, II.6, the extension of L. F. Shampine, Math. Comput. 46 (1986)
	// 135).
	dense = [stages][4]ratio{
		{{1, 1}, {-8048581381, 2820520608}, {8663915743, 2820520608}, {-12715105075, 11282082432}},
		{{0, 1}, {0, 1}, {0, 1}, {0, 1}},
		{{0, 1}, {131558114200, 32700410799}, {-68118460800, 10900136933}, {87487479700, 32700410799}},
		{{0, 1}, {-1754552775, 470086768}, {14199869525, 1410260304}, {-10690763975, 1880347072}},
		{{0, 1}, {127303824393, 49829197408}, {-318862633887, 49829197408}, {701980252875, 199316789632}},
		{{0, 1}, {-282668133, 205662961}, {2019193451, 616988883}, {-1453857185, 822651844}},
		{{0, 1}, {40617522, 29380423}, {-110615467, 29380423}, {69997945, 29380423}},
	}
)

// The table in floating point.
var (
	nodesF  [stages]float64
	matrixF [stages][stages - 1]float64
	errorF  [stages]float64 // weights of order 5 less embedded ones
	denseF  [stages][4]float64
)

func init() {
	for i := range stages {
		nodesF[i] = nodes[i].float()
		for j := range stages - 1 {
			matrixF[i][j] = matrix[i][j].float()
		}
		errorF[i] = -embedded[i].float()
		if i < stages-1 {
			errorF[i] += matrix[stages-1][i].float()
		}
		for k := range 4 {
			denseF[i][k] = dense[i][k].float()
		}
	}
}
