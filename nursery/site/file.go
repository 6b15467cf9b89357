package site

// The shape of a site file. Tags of a key:
//
//	toml    how it is written
//	is      how its value is read: a quantity, a word of a list, ... (value.go)
//	within  smallest and largest believable value, in SI units
//	doc     what it says; the reference in doc/SITEFILE.md is made of these
//	eg      an example value, as written
//	else    what happens when it is left out
//
// A field is a value, a table or a list of tables.

// table is where a table starts in the file.
type table struct{ At span }

type fileRoot struct {
	table
	Site   fileSite     `toml:"site" doc:"The nursery and where it lies."`
	Space  []fileSpace  `toml:"space" doc:"One growing space: a bed, a bench, a house. Repeat it for each."`
	Shed   fileShed     `toml:"shed" doc:"What is on the shelf to protect plants with."`
	Crew   []fileWorker `toml:"crew" doc:"Who can work before dark. Repeat it for each person or shift."`
	Room   []fileRoom   `toml:"room" doc:"A place that keeps out frost and is no growing space: a shed, a garage, a cellar. Plants can be carried there for a freeze. Repeat it for each."`
	Labour fileLabour   `toml:"labour" doc:"How long handling takes, in person-minutes. Your own records are better than the values used otherwise; what is left out is learned from the jobs you tick as begun and done."`

	Heater   []fileHeater   `toml:"heater" doc:"A heater, or several equal ones in one space. Repeat it for each."`
	Fan      []fileFan      `toml:"fan" doc:"Fans that move the air of a house, or bring outdoor air in. Repeat it for each kind."`
	Cylinder []fileCylinder `toml:"cylinder" doc:"Equal cylinders, or a tank, that feed the same heaters. Repeat it for each set. A heater on a pipe or a tank that never runs dry needs none."`
	Circuit  []fileCircuit  `toml:"circuit" doc:"A circuit of the mains behind its breaker. Repeat it for each."`
	Backup   []fileBackup   `toml:"backup" doc:"A generator or battery for when the mains fail. Repeat it for each."`
	Prices   filePrices     `toml:"prices" doc:"What fuel costs, in your money."`
}

type fileSite struct {
	table
	Name         value `toml:"name" is:"text" doc:"name of the nursery" eg:"\"Hollow Lane Nursery\"" else:"must be given"`
	Latitude     value `toml:"latitude" is:"latitude" doc:"degrees, south negative; or with N or S" eg:"\"34.2 N\"" else:"must be given"`
	Longitude    value `toml:"longitude" is:"longitude" doc:"degrees, west negative; or with E or W" eg:"\"82.4 W\"" else:"must be given"`
	Elevation    value `toml:"elevation" is:"length" within:"-450 5000" doc:"height above the sea" eg:"\"820 ft\"" else:"0, listed as assumed"`
	Timezone     value `toml:"timezone" is:"zone" doc:"name from the time zone database: continent and city" eg:"\"America/New_York\"" else:"must be given"`
	Units        value `toml:"units" is:"units" doc:"units of the answers; the file itself may mix units" eg:"\"us\"" else:"metric, listed as assumed"`
	Money        value `toml:"money" is:"text" doc:"word for your money; every value in the file is in it" eg:"\"dollars\"" else:"no word is printed"`
	Risk         value `toml:"risk" is:"risk" doc:"how bad cases are looked at when the plan is made: by the mean of all cases (usual), or with the worst tenth held down (careful, very careful)" eg:"\"careful\"" else:"usual"`
	Odds         value `toml:"odds" is:"odds" within:"0.001 0.5" doc:"nights in which a group may come out unsaleable, of every group that says nothing else: heat is looked for that keeps within it" eg:"\"1 in 10\"" else:"1 in 10"`
	HeatBy       value `toml:"heat_by" is:"heat by" doc:"how heaters with a thermostat are set in the plan: where plants lost and heat cost least together (cost), or as cool as keeps every group within its odds (odds)" eg:"\"odds\"" else:"cost"`
	Surroundings value `toml:"surroundings" is:"surroundings" doc:"what lies around the nursery for a few hundred metres; it slows the wind" eg:"\"suburban\"" else:"open, listed as assumed"`
	Ground       value `toml:"ground" is:"ground" doc:"ground of every space that says nothing else" eg:"\"loam\"" else:"loam, listed as assumed"`
	Moisture     value `toml:"moisture" is:"moisture" doc:"how wet that ground usually is before a freeze" eg:"\"moist\"" else:"moist, listed as assumed"`
}

type fileSpace struct {
	table
	Name        value `toml:"name" is:"text" doc:"what you call it; no two alike" eg:"\"Bed 4\"" else:"must be given"`
	Kind        value `toml:"kind" is:"kind" doc:"what it is" eg:"\"raised bed\"" else:"must be given"`
	Length      value `toml:"length" is:"length" within:"0.3 500" doc:"along the long side" eg:"\"60 ft\"" else:"must be given"`
	Width       value `toml:"width" is:"length" within:"0.2 200" doc:"across" eg:"\"5 ft\"" else:"must be given"`
	Height      value `toml:"height" is:"length" within:"0.1 15" doc:"ridge of a house, or top of the hoops" eg:"\"10 ft\"" else:"must be given for anything built; nothing for beds and benches"`
	Axis        value `toml:"axis" is:"compass" doc:"where the long side points" eg:"\"NE\"" else:"E, listed as assumed"`
	East        value `toml:"east" is:"length" within:"-5000 5000" doc:"how far its middle lies east of a point that you choose once for the whole nursery, such as the gate; minus is west. With north; only the map is drawn by it" eg:"\"40 ft\"" else:"not placed on the map yet"`
	North       value `toml:"north" is:"length" within:"-5000 5000" doc:"how far its middle lies north of the same point; minus is south. With east" eg:"\"100 ft\"" else:"not placed on the map yet"`
	Ground      value `toml:"ground" is:"ground" doc:"what it stands on" eg:"\"gravel\"" else:"as in [site]"`
	Moisture    value `toml:"moisture" is:"moisture" doc:"how wet that ground is before a freeze" eg:"\"dry\"" else:"as in [site]"`
	Mulch       value `toml:"mulch" is:"mulch" doc:"what lies on the ground" eg:"\"ground cloth\"" else:"none, listed as assumed"`
	MulchDepth  value `toml:"mulch_depth" is:"length" within:"0 0.5" doc:"how deep it lies" eg:"\"2 in\"" else:"2 in (5 cm) for bark, straw and stones, listed as assumed"`
	BenchHeight value `toml:"bench_height" is:"length" within:"0.05 2" doc:"height of the bench top above the ground, open beneath" eg:"\"30 in\"" else:"75 cm for a bench, listed as assumed; otherwise on the ground"`
	Pots        value `toml:"pots" is:"pots" doc:"how pots stand: touching each other (block), apart (spaced), or planted out (none)" eg:"\"block\"" else:"block when a group has pots, listed as assumed"`
	SkyView     value `toml:"sky_view" is:"share" within:"0.02 1" doc:"share of the sky that is open above the space, without walls and trees" eg:"\"80 %\"" else:"worked out from the shelters"`
	ColdAirFrom value `toml:"cold_air_from" is:"compass" doc:"cold air flows in from here on still nights" eg:"\"N\"" else:"no flow"`
	ColdSpot    value `toml:"cold_spot" is:"flag" doc:"it is always colder here on still nights, and you do not know from where" eg:"true" else:"false"`
	Hem         value `toml:"hem" is:"hem" doc:"how the lower edge of the cloth is held: soil or boards all along (sealed), pins or weights here and there (pinned), or neither (loose)" eg:"\"pinned\"" else:"pinned when there is a cover, listed as assumed"`
	Sides       value `toml:"sides" is:"compasses" doc:"sides that stand open to the wind, as they face" eg:"[\"N\", \"W\"]" else:"all but those with a shelter within 1 ft (30 cm), listed as assumed"`
	Worth       value `toml:"worth" is:"money" doc:"value of everything in the space; what the groups' own values leave of it goes to the groups without one" eg:"5000" else:"the sum over its groups"`

	FreeBench value `toml:"free_bench" is:"area" within:"0 2000" doc:"floor and benches in it that pots from elsewhere could stand on for a freeze" eg:"\"40 ft2\"" else:"none: nothing is carried there"`

	Parked  *fileParked   `toml:"parked" doc:"A cover that hangs rolled or gathered on hoops, posts or rafters over the plants, to be let down for a night and rolled back in the morning. In a house it hangs inside."`
	House   *fileHouse    `toml:"house" doc:"What is built over the space and stays there. For the space above it."`
	Shelter []fileShelter `toml:"shelter" doc:"A wall, hedge or house beside the space: it takes wind and sky and may be warm. Repeat it for each."`
	Cover   []fileCover   `toml:"cover" doc:"A cloth or film that is on the space now, nearest the plants first."`
	Group   []fileGroup   `toml:"group" doc:"Plants of one kind and pot size in the space. Repeat it for each."`
	Mix     []fileMix     `toml:"mix" doc:"A part of the space told only by how tender it is, for those who will not list plants. The parts make 100 %."`
}

type fileHouse struct {
	table
	Glazing     value `toml:"glazing" is:"cover" doc:"film, glass or sheet, by its name in the cover table" eg:"\"greenhouse film\"" else:"must be given"`
	Layers      value `toml:"layers" is:"count" within:"1 2" doc:"1, or 2 with air blown between" eg:"2" else:"1, listed as assumed"`
	Blower      value `toml:"blower" is:"power" within:"1 2000" doc:"electricity that the blower between two layers takes" eg:"\"60 W\"" else:"not counted on a circuit or a backup, listed as assumed with two layers"`
	BlowerOn    value `toml:"blower_circuit" is:"text" doc:"name of the [[circuit]] the blower hangs on" eg:"\"north wall\"" else:"no breaker is checked"`
	BlowerMains value `toml:"blower_mains" is:"flag" doc:"the blower stops when the power fails; the layers then fall together" eg:"true" else:"true with two layers, listed as assumed"`
	EaveHeight  value `toml:"eave_height" is:"length" within:"0 8" doc:"where side walls end and the roof starts; \"0 m\" for an arch from the ground" eg:"\"5 ft\"" else:"half of height (0 for a low hoop), listed as assumed"`
	Leaks       value `toml:"leaks" is:"leaks" doc:"how tight doors, laps and vents are" eg:"\"usual\"" else:"usual, listed as assumed"`
	VentArea    value `toml:"vent_area" is:"area" within:"0 2000" doc:"all vents and roll-up sides fully open" eg:"\"40 ft2\"" else:"no vents, listed as assumed"`
	Vents       value `toml:"vents" is:"share" within:"0 1" doc:"how far they stand open through the night" eg:"\"10 %\"" else:"shut, listed as assumed"`
	Curtain     value `toml:"curtain" is:"cover" doc:"fabric of an inner curtain, by its name in the cover table" eg:"\"thermal screen\"" else:"no curtain"`
	CurtainWhen value `toml:"curtain_when" is:"when" doc:"when it is drawn" eg:"\"evening-morning\"" else:"evening-morning, listed as assumed"`
	OpeningLow  value `toml:"opening_low" is:"opening" within:"0 20" doc:"openings near the ground that nobody shuts at night, for the air a flame needs" eg:"\"40 in2\"" else:"none"`
	OpeningHigh value `toml:"opening_high" is:"opening" within:"0 20" doc:"the same near the ridge" eg:"\"40 in2\"" else:"none"`
	Snow        value `toml:"snow" is:"length" within:"0 1.5" doc:"depth of snow lying on its roof now; what is forecast is added" eg:"\"2 in\"" else:"none"`
	SnowLimit   value `toml:"snow_limit" is:"load" within:"5 1000" doc:"load of snow it was built for, by its maker or the local code" eg:"\"15 lb/ft2\"" else:"no limit is known; the load is said and nothing is judged"`
}

type fileShelter struct {
	table
	From     value `toml:"from" is:"compass" doc:"where it stands, seen from the space" eg:"\"N\"" else:"must be given"`
	What     value `toml:"what" is:"shelter" doc:"what it is" eg:"\"hedge\"" else:"must be given"`
	Height   value `toml:"height" is:"length" within:"0.2 60" doc:"how high it stands" eg:"\"8 ft\"" else:"must be given"`
	Distance value `toml:"distance" is:"length" within:"0 500" doc:"from the near side of the space" eg:"\"10 ft\"" else:"must be given"`
	Length   value `toml:"length" is:"length" within:"0.3 2000" doc:"how far it runs, its middle before the middle of the space" eg:"\"40 ft\"" else:"taken to run past the space on both sides, listed as assumed"`
	Warm     value `toml:"warm" is:"temperature" within:"-20 50" doc:"temperature of its face on a freezing night" eg:"\"50 °F\"" else:"as cold as the air"`
	Heated   value `toml:"heated" is:"flag" doc:"the house behind it is heated; its face is then worked out" eg:"true" else:"false"`
}

type fileCover struct {
	table
	Cloth  value `toml:"cloth" is:"cloth" doc:"its name in the cover table, or its weight" eg:"\"30 g/m2\"" else:"must be given"`
	Layers value `toml:"layers" is:"count" within:"1 6" doc:"how many lie on each other" eg:"2" else:"1, listed as assumed"`
	Fit    value `toml:"fit" is:"fit" doc:"lying on the plants (touching) or held above them (hoops)" eg:"\"hoops\"" else:"hoops where the space or the cover has a height, otherwise touching; listed as assumed"`
	Height value `toml:"height" is:"length" within:"0.05 6" doc:"of the cloth above the ground or bench" eg:"\"2 ft\"" else:"the height of the space"`
	When   value `toml:"when" is:"when" doc:"when it is on; leave it out where on and off are given" eg:"\"always\"" else:"evening-morning, listed as assumed"`
	On     value `toml:"on" is:"moment" doc:"hour it goes on each day, or date and hour for once; with off" eg:"\"16:30\"" else:"see when"`
	Off    value `toml:"off" is:"moment" doc:"hour it comes off, or date and hour" eg:"\"2027-01-18 09:00\"" else:"see when"`
	Snow   value `toml:"snow" is:"length" within:"0 1.5" doc:"depth of snow lying on it" eg:"\"2 in\"" else:"none"`
}

type fileGroup struct {
	table
	Plant      value `toml:"plant" is:"text" doc:"name of the plant, as you write it" eg:"\"Boston fern\"" else:"word must be given"`
	Word       value `toml:"word" is:"word" doc:"how tender it is, in one of the words of the plant table" eg:"\"tender\"" else:"from the plant's name"`
	Count      value `toml:"count" is:"count" within:"1 1e6" doc:"how many plants or pots" eg:"120" else:"not counted; value_total, or worth on the space, must then be given"`
	Share      value `toml:"share" is:"share" within:"0.0001 1" doc:"share of the floor it takes; if every group has one they make 100 %" eg:"\"60 %\"" else:"by count, listed as assumed"`
	ValueEach  value `toml:"value_each" is:"money" doc:"value of one plant" eg:"8.50" else:"from value_total or worth"`
	ValueTotal value `toml:"value_total" is:"money" doc:"value of all of them" eg:"1200" else:"count times value_each, or its part of worth"`
	Pot        value `toml:"pot" is:"pot" doc:"width at the top, or what it holds; gallons are read as trade sizes" eg:"\"6 in\"" else:"planted in the ground"`
	Place      value `toml:"place" is:"place" doc:"where in the space it stands" eg:"\"edge\"" else:"anywhere, listed as assumed"`
	Tissue     value `toml:"tissue" is:"tissue" doc:"tissue class that is hurt first, where you know better than the plant table" eg:"\"leaf-small\"" else:"from the plant's name or word"`
	Saleable   value `toml:"saleable" is:"temperature" within:"-60 20" doc:"your own limit: colder than this for an hour and it is not fit for sale" eg:"\"30 °F\"" else:"from the plant table"`
	Alive      value `toml:"alive" is:"temperature" within:"-60 20" doc:"your own limit: colder than this for an hour and it is dead" eg:"\"26 °F\"" else:"from the plant table"`
	Height     value `toml:"height" is:"length" within:"0.02 12" doc:"top of the plants above the ground or bench" eg:"\"1 ft\"" else:"30 cm, listed as assumed"`
	TrimTo     value `toml:"trim_to" is:"length" within:"0.02 12" doc:"how high it stands when cut back, if it may be, so that a cover or cup goes over it" eg:"\"2 ft\"" else:"it is not cut back"`
	TrimLoss   value `toml:"trim_loss" is:"share" within:"0 1" doc:"part of its value that cutting back takes" eg:"\"15 %\"" else:"10 % with trim_to, listed as assumed"`
	NeverLose  value `toml:"never_lose" is:"flag" doc:"protect it before all others, whatever that costs; the cost is shown" eg:"true" else:"false"`
	Odds       value `toml:"odds" is:"odds" within:"0.001 0.5" doc:"nights in which it may come out unsaleable" eg:"\"1 in 20\"" else:"as in [site], and at most 1 in 50 with never_lose"`
	WetFoliage value `toml:"wet_foliage" is:"flag" doc:"leaves go into the night wet" eg:"true" else:"false"`
}

type fileMix struct {
	table
	Word       value `toml:"word" is:"word" doc:"how tender this part is" eg:"\"borderline\"" else:"must be given"`
	Share      value `toml:"share" is:"share" within:"0.0001 1" doc:"part of the space" eg:"\"60 %\"" else:"must be given"`
	ValueTotal value `toml:"value_total" is:"money" doc:"value of this part" eg:"800" else:"its share of worth"`
}

type fileShed struct {
	table
	Clamps  value            `toml:"clamps" is:"count" within:"0 1e5" doc:"clamps and clips" eg:"60" else:"none"`
	Pins    value            `toml:"pins" is:"count" within:"0 1e5" doc:"ground pins" eg:"200" else:"none"`
	Weights value            `toml:"weights" is:"count" within:"0 1e5" doc:"sandbags, blocks, boards" eg:"40" else:"none"`
	Tape    value            `toml:"mending_tape" is:"count" within:"0 1e4" doc:"rolls of tape to mend cloth and film with" eg:"2" else:"not known"`
	Igniter value            `toml:"igniters" is:"count" within:"0 1e4" doc:"spare ways to light a flame: igniters, long lighters, boxes of matches kept dry" eg:"3" else:"not known"`
	Cloth   []fileShedCloth  `toml:"cloth" doc:"Equal pieces of one cloth. Repeat it for each size."`
	Cup     []fileShedCup    `toml:"cup" doc:"Single covers: cups, cones, bags."`
	Panel   []fileShedPanel  `toml:"panel" doc:"Stiff panels stood up against the wind."`
	Curtain []fileShedCloth  `toml:"curtain" doc:"Pieces of curtain fabric."`
	Wrap    []fileShedWrap   `toml:"wrap" doc:"Wraps for single stems, trunks and tips."`
	Barrel  []fileShedBarrel `toml:"barrel" doc:"Barrels that are filled with water and stood among the plants of a house before a freeze."`
}

type fileShedCloth struct {
	table
	Cloth     value `toml:"cloth" is:"cloth" doc:"its name in the cover table, or its weight" eg:"\"1.5 oz/yd2\"" else:"must be given"`
	Length    value `toml:"length" is:"length" within:"0.3 1000" doc:"of one piece" eg:"\"50 ft\"" else:"must be given"`
	Width     value `toml:"width" is:"length" within:"0.3 30" doc:"of one piece" eg:"\"12 ft\"" else:"must be given"`
	Pieces    value `toml:"pieces" is:"count" within:"0 10000" doc:"how many" eg:"3" else:"1, listed as assumed"`
	Condition value `toml:"condition" is:"condition" doc:"state it is in" eg:"\"good\"" else:"good, listed as assumed"`
}

type fileShedCup struct {
	table
	Kind  value `toml:"kind" is:"cover" doc:"its name in the cover table" eg:"\"rose cone\"" else:"must be given"`
	Count value `toml:"count" is:"count" within:"0 1e6" doc:"how many" eg:"80" else:"must be given"`
	Fits  value `toml:"fits" is:"length" within:"0.02 2" doc:"tallest plant that fits under it" eg:"\"12 in\"" else:"must be given"`
}

type fileShedPanel struct {
	table
	Length value `toml:"length" is:"length" within:"0.2 20" doc:"of one panel" eg:"\"8 ft\"" else:"must be given"`
	Height value `toml:"height" is:"length" within:"0.2 5" doc:"when it stands" eg:"\"4 ft\"" else:"must be given"`
	Count  value `toml:"count" is:"count" within:"0 10000" doc:"how many" eg:"6" else:"must be given"`
}

type fileWorker struct {
	table
	Name   value `toml:"name" is:"text" doc:"name or shift" eg:"\"afternoon\"" else:"must be given"`
	People value `toml:"people" is:"count" within:"1 200" doc:"how many" eg:"2" else:"1, listed as assumed"`
	From   value `toml:"from" is:"clock" doc:"start of work" eg:"\"13:00\"" else:"must be given"`
	To     value `toml:"to" is:"clock" doc:"end; earlier than from means the next day" eg:"\"18:30\"" else:"must be given"`
}

type fileLabour struct {
	table
	Large   value `toml:"large" is:"number" within:"0.5 600" doc:"spread and fix 100 m2 (1100 sq ft) of large flat sheets, calm" eg:"10" else:"10, listed as assumed"`
	Usual   value `toml:"usual" is:"number" within:"0.5 600" doc:"the same, usual beds" eg:"20" else:"20, listed as assumed"`
	Hoops   value `toml:"hoops" is:"number" within:"0.5 600" doc:"the same, many small beds or hoops" eg:"40" else:"40, listed as assumed"`
	Windy   value `toml:"windy" is:"number" within:"1 10" doc:"how many times as long in wind or wet" eg:"2" else:"2, listed as assumed"`
	Uncover value `toml:"uncover" is:"number" within:"0.5 600" doc:"take off and put away 100 m2" eg:"10" else:"10, listed as assumed"`
	Cups    value `toml:"cups" is:"number" within:"1 2000" doc:"set 100 cups" eg:"50" else:"50, listed as assumed"`
	Panel   value `toml:"panel" is:"number" within:"0.1 240" doc:"stand up one panel" eg:"5" else:"5, listed as assumed"`
	Wrap    value `toml:"wrap" is:"number" within:"1 6000" doc:"wrap 100 stems" eg:"200" else:"200, listed as assumed"`
	Trim    value `toml:"trim" is:"number" within:"1 6000" doc:"cut back 100 plants" eg:"100" else:"100, listed as assumed"`
	Carry   value `toml:"carry" is:"number" within:"1 6000" doc:"load and set down 100 pots of 15 cm (6 in), without the way; larger ones by their area" eg:"30" else:"30, listed as assumed"`
	Water   value `toml:"water" is:"number" within:"0.2 600" doc:"stand up barrels and fill 100 litres (26 gal)" eg:"6" else:"6, listed as assumed"`
	Walk    value `toml:"walk" is:"number" within:"0 240" doc:"get to the next space with hands full" eg:"2" else:"2, listed as assumed"`
}
