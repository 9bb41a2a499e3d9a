package flyweights_test

import (
	"math/rand/v2"

	"example.org/bobweight/flyweights"
	"example.org/bobweight/flyweights/internal/random"
)

func init() {
	kinds := map[string]random.Kind{}
	flyweights.EveryLinkage = map[string]func(*rand.Rand) flyweights.Linkage{}
	for _, k := range random.Kinds {
		kinds[k.Name] = k
		flyweights.EveryLinkage[k.Name] = k.New
	}
	flyweights.RandomMechanism = func(rnd *rand.Rand, kind string) (*flyweights.Mechanism, error) {
		return random.Mechanism(rnd, kinds[kind])
	}
}
