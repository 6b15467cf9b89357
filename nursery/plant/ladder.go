package plant

// Step is the rung of the ladder a curve stands on, tightest first.
type Step string

// The ladder. Each rung is wider than the one before.
const (
	StepOwn     Step = "own limit"
	StepSpecies Step = "species"
	StepGenus   Step = "genus"
	StepClass   Step = "tolerance class"
	StepWord    Step = "grower's word"
	StepNothing Step = "nothing"
)

// Spreads are one standard deviation of a centre [K]. All judgement unless the
// entry of Ladder says otherwise.
const (
	sdA, sdB, sdC, sdD, sdM = 1.0, 1.5, 4.0, 3.0, 3.0
	weakFactor              = 1.25

	floorOwn     = 0.7
	floorSpecies = 1.0
	floorGenus   = 2.5
	floorClass   = 3.0
	floorWord    = 4.0
	floorNothing = 6.5

	fieldAirK, fieldAirSd  = 1.0, 0.7
	groundPotK, groundSd   = 2.5, 1.5
	drySucculentK, drySd   = 1.5, 1.0
	wetSoilK, wetSoilSd    = 3.0, 1.0
	gapSd                  = 1.0
	withinGenusSd          = 3.0
	labHours, fieldHours   = 1.0, 3.0
	rootSlopeK             = 1.5
	springSlopeK           = 0.4
	springHours            = 0.5
	chillMarginK           = 1.5
	chillSafeFactor        = 1.5
	conflictK              = 4.0
	smallestGapK           = 0.5
	mostHours, fewestHours = 6.0, 0.5
)

// Number is one line of the table of numbers behind the ladder.
type Number struct {
	What  string
	Value float64
	Unit  string
	Mark  string // judgement, or where it was seen
}

// Ladder returns every number the ladder uses, so that nothing is hidden.
func Ladder() []Number {
	const j = "judgement"
	return []Number{
		{"spread of an experiment (A)", sdA, "K", j},
		{"spread of a university or agency statement (B)", sdB, "K", j},
		{"spread of a compiled class (C)", sdC, "K", j},
		{"spread of a grower's or garden report (D)", sdD, "K", j},
		{"spread of a value from memory (M)", sdM, "K", j},
		{"spread of a weak source, times", weakFactor, "1", j},
		{"least spread: own limit", floorOwn, "K", j},
		{"least spread: species", floorSpecies, "K", j},
		{"least spread: genus", floorGenus, "K", j},
		{"least spread: tolerance class", floorClass, "K", j},
		{"least spread: grower's word", floorWord, "K", j},
		{"least spread: nothing known", floorNothing, "K", j},
		{"tissue below the air of a field report", fieldAirK, "K", "seen: leaves 1-3 K below air on calm clear nights; lower end"},
		{"its spread", fieldAirSd, "K", j},
		{"pot plants more tender than established ones", groundPotK, "K", j},
		{"its spread", groundSd, "K", j},
		{"succulents reported dry, moved warmer", drySucculentK, "K", "half of the wet-soil prior of 2-4 K"},
		{"its spread", drySd, "K", j},
		{"succulents in wet soil, moved warmer", wetSoilK, "K", "prior of 2-4 K"},
		{"its spread", wetSoilSd, "K", j},
		{"spread of the gap between saleable and alive", gapSd, "K", "seen: 3-6 K in 23 container perennials"},
		{"species of one genus differ by", withinGenusSd, "K", j},
		{"smallest gap between saleable and alive", smallestGapK, "K", j},
		{"exposure of an experiment without hours", labHours, "h", "usual for tissue tests"},
		{"exposure of a field report without hours", fieldHours, "h", j},
		{"slope of roots", rootSlopeK, "K", j},
		{"slope of flowers and new growth", springSlopeK, "K", "seen: one in ten to nine in ten within 1.7 K"},
		{"exposure of flowers and new growth", springHours, "h", "seen: 30 minutes"},
		{"chilling starts above an observed injury by", chillMarginK, "K", j},
		{"harmful chilling dose above an unhurt one, times", chillSafeFactor, "1", j},
		{"records further apart are called a conflict", conflictK, "K", j},
	}
}

// gradeSpread returns the spread [K] of one record by its grade and source.
func gradeSpread(r *Row) float64 {
	sd := sdM
	switch r.Grade {
	case "A":
		sd = sdA
	case "B":
		sd = sdB
	case "C":
		sd = sdC
	case "D":
		sd = sdD
	}
	if r.Weak {
		sd *= weakFactor
	}
	return sd
}
