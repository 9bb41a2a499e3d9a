package corpus

func init() {
	register("unit factor", "quantity.Parse", func(g *Given) (Found, error) {
		q := g.Any("value")
		return Found{"SI": q}, nil
	})
}
