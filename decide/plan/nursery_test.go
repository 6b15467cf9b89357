package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
)

// inventedNursery makes a question of the given size; everything in it is invented.
// Beds are 1.2 m wide and 4 to 24 m long, cloth comes in the sizes rolls are cut to.
func inventedNursery(seed uint64, spaces int) Choices {
	r := rand.New(rand.NewPCG(seed, 1))
	c := Choices{Currency: "$", Shelf: Shelf{Cups: map[string]int{}}}
	cloths := []string{"17 g cloth", "30 g cloth", "50 g cloth"}
	sizes := [][2]float64{{30, 3.6}, {15, 3.6}, {10, 3}, {8, 2.1}, {15, 2.1}, {20, 6}}
	for _, cl := range cloths {
		for _, k := range r.Perm(len(sizes))[:3] {
			c.Shelf.Cloth = append(c.Shelf.Cloth, Piece{Cloth: cl, LengthM: sizes[k][0], WidthM: sizes[k][1], Count: 1 + r.IntN(1+spaces/6), Condition: Condition(r.IntN(2))})
		}
	}
	c.Shelf.Cups["1 gal cup"] = r.IntN(20 * spaces)
	c.Shelf.Cups["foam cone"] = r.IntN(5 * spaces)
	c.Shelf.PersonMinutes = spaces * (15 + r.IntN(40))
	for s := range spaces {
		bare := math.Exp(3 + 2*r.NormFloat64())
		length := 4 + float64(r.IntN(20))
		sp := SpaceChoice{Space: fmt.Sprintf("Bed %d", s+1), Options: []Option{{Key: "nothing", Words: "nothing done", ExpectedLoss: cents(bare)}}}
		keep := 1.0
		for _, cl := range cloths {
			keep *= 0.35 + 0.6*r.Float64()
			sp.Options = append(sp.Options, Option{
				Key: "1x " + cl, Words: "1 layer of " + cl + " on hoops", ExpectedLoss: cents(bare * keep), Cost: cents(0.3 * length), PersonMinutes: 10 + int(length),
				Needs: Needs{Covers: []CoverArea{{LengthM: length + 1.6, WidthM: 2.8, Layers: 1, Cloth: cl}}},
			})
			sp.Options = append(sp.Options, Option{
				Key: "2x " + cl, Words: "2 layers of " + cl + " on hoops", ExpectedLoss: cents(bare * keep * (0.4 + 0.5*r.Float64())), Cost: cents(0.6 * length), PersonMinutes: 15 + int(1.6*length),
				Needs: Needs{Covers: []CoverArea{{LengthM: length + 1.6, WidthM: 2.8, Layers: 2, Cloth: cl}}},
			})
		}
		n := 10 + r.IntN(60)
		kind := []string{"1 gal cup", "foam cone"}[r.IntN(2)]
		sp.Options = append(sp.Options, Option{
			Key: "cups", Words: fmt.Sprintf("%d cups (%s)", n, kind), ExpectedLoss: cents(bare * (0.3 + 0.6*r.Float64())), Cost: 1, PersonMinutes: 5 + n/2,
			Needs: Needs{Cups: map[string]int{kind: n}},
		})
		c.Spaces = append(c.Spaces, sp)
	}
	return c
}

func cents(v float64) float64 { return math.Round(100*v) / 100 }
